"""Flow cups: seconds are not a unit, so each cup's seconds are turned into mm²/s, or refused."""

import difflib
import functools
import re
from typing import NamedTuple

import numpy as np

from coursekit.nomenclature import load_data
from coursekit.quantities import LONGEST_TEXT, InputError, Real, in_range, public
from coursekit.sources import coefficient

_NOISE = re.compile(r"\b(?:astm|cup|no|nr|number|mm|53211|2431|d1200|d4212)\b|[#._°-]")
_SHORT, _LONG = 20.0, 40.0  # s: cups are at their worst below, at their best above


class Cup(NamedTuple):
    """A flow cup: ν = slope (t − delay) − hyperbola / t, for t from `start` to `end`."""

    name: str
    slope: float
    delay: float
    hyperbola: float
    start: float
    end: float

    def viscosity(self, time: Real) -> Real:
        """Kinematic viscosity in m²/s of a time in s."""
        return 1e-6 * (self.slope * (time - self.delay) - self.hyperbola / time)

    def time(self, viscosity: Real) -> Real:
        """The time in s of a kinematic viscosity in m²/s: the way back."""
        # slope t² − (slope delay + ν) t − hyperbola = 0
        middle = (self.slope * self.delay + viscosity * 1e6) / (2 * self.slope)
        return middle + np.sqrt(middle**2 + self.hyperbola / self.slope)


@functools.lru_cache(maxsize=1)
def cups() -> dict[str, Cup]:
    """Every cup of the table by its name."""
    return {
        name: Cup(name, row["slope"], row.get("delay", 0.0), row.get("hyperbola", 0.0), row["from"], row["to"])
        for name, row in load_data("flow_cups").items()
    }


def read_cup(text: object) -> Cup:
    """The cup that a piece of text names: "DIN 4", "Zahn #2", "ISO 4 mm", "ford no. 4"."""
    remedy = "Write its name and number. Known: " + ", ".join(cups()) + "."
    if not isinstance(text, str) or not 0 < len(text.strip()) <= LONGEST_TEXT:
        raise InputError("cup", "is not the name of a flow cup.", remedy, kind="form")
    words = _NOISE.sub(" ", re.sub(r"(?<=[a-z])(?=\d)|(?<=\d)(?=[a-z])", " ", text.casefold())).split()
    if words[:1] == ["chinese"]:
        words[0] = "tu"
    if words == ["din"]:
        words.append("4")  # there was only one
    key = " ".join(words)
    known = {name.casefold(): cup for name, cup in cups().items()}
    if key in known:
        return known[key]
    written = f'"{text.strip()}"'
    family = [name for name in cups() if words and name.casefold().startswith(words[0] + " ")]
    if family:
        raise InputError(
            "cup",
            f"{written} does not name one cup of that family.",
            "Cups of one name have nothing in common: write " + " or ".join(family) + ".",
            kind="form",
        )
    if re.fullmatch(r"[\d ]+", key):
        raise InputError("cup", f"{written} is a number without the name of the cup.", remedy, kind="form")
    close = difflib.get_close_matches(key, list(known), 1, 0.6)
    near = f' Did you mean "{known[close[0]].name}"?' if close else ""
    raise InputError("cup", f"{written} is not in the table of cups.{near}", remedy, kind="unknown")


def _other_cups(cup: Cup, too_thin: bool) -> str:
    """Words for which cup to take instead: one whose range goes well past the end of this one's."""
    edge = cup.viscosity(cup.start if too_thin else cup.end)
    fit: list[str] = []
    for reach in (2.0, 1.05):
        for other in cups().values():
            low, high = other.viscosity(other.start), other.viscosity(other.end)
            if (low <= edge / reach and edge <= high) if too_thin else (low <= edge and high >= edge * reach):
                fit.append(other.name)
        if fit:
            break
    fit.sort(key=lambda name: name.split()[0] != cup.name.split()[0])
    paint = "thin" if too_thin else "thick"
    if not fit:
        return f"The paint is too {paint} for {cup.name}, and no cup of the table goes further."
    return f"The paint is too {paint} for {cup.name}: take " + ", ".join(fit[:3]) + "."


@public(gives="kinematic_viscosity")
def viscosity_from_cup(cup: object, time: Real, cup_reading: Real = coefficient("cup_reading")) -> Real:
    """Kinematic viscosity from the seconds that paint takes to run out of a flow cup.

    cup: such as "DIN 4", "Zahn 2", "Ford 4", "ISO 4 mm"
    time: inside the cup's own range; until the stream breaks
    Gives (...) m²/s; `band` of it is ±20 % below 20 s and for Zahn cups, half of that above 40 s.
    Raises InputError for an unknown cup, RangeError with the cup to take when the time is outside its range.
    Holds at 25 °C for paint that does not thin under shear. Source: cup-formulas, cup-method-note, din-53211,
    iso-2431, tu-4-note, astm-d4212.
    """
    known = read_cup(cup)
    in_range("time", time, known.start, known.end, _other_cups(known, bool(np.any(np.less(time, known.start)))))
    doubt = 1.0 if known.name.startswith("Zahn") else np.interp(time, [_SHORT, _LONG], [1.0, 0.5])
    return known.viscosity(time) * np.power(cup_reading, doubt)


@public(gives="time")
def cup_time(cup: object, kinematic_viscosity: Real) -> Real:
    """Seconds that a liquid of known viscosity takes to run out of a flow cup.

    cup: such as "DIN 4", "Zahn 2", "Ford 4", "ISO 4 mm"
    kinematic_viscosity: inside the cup's own range
    Gives (...) s. Raises InputError for an unknown cup, RangeError with the cup to take outside its range.
    Holds at 25 °C for paint that does not thin under shear. Source: cup-formulas, cup-method-note, din-53211,
    iso-2431, tu-4-note.
    """
    known = read_cup(cup)
    low, high = float(known.viscosity(known.start)), float(known.viscosity(known.end))
    thin = bool(np.any(np.less(kinematic_viscosity, low)))
    in_range("kinematic_viscosity", kinematic_viscosity, low, high, _other_cups(known, thin))
    return known.time(kinematic_viscosity)
