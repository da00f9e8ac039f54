"""Figures of a repair in words, metric or US."""

from __future__ import annotations

import math
import re
from typing import Literal, NamedTuple

from coursekit.figure import Figure
from coursekit.nomenclature import System
from coursekit.uncertain import Band

DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
Amount = tuple[str, float]  # row of the nomenclature, or "time" or "spot" (a small area); value in SI
About = Literal[
    "", "waves", "scratches", "guide coat", "temperature", "humidity", "dew point"
]  # what a reason speaks of, where something asks for it


class Reason(NamedTuple):
    """One thing that a verdict rests on: whether it speaks against going on, and the words with their figures."""

    against: bool
    words: str  # {0}, {1}, … stand for the figures
    figures: tuple[Amount, ...] = ()
    about: About = ""

    def text(self, system: System = "metric") -> str:
        """The reason in words."""
        return in_words(self.words, self.figures, system)


def in_words(words: str, figures: tuple[Amount, ...], system: System = "metric") -> str:
    """Words with their figures in the places {0}, {1}, …"""
    return words.format(*(say(value, name, system) for name, value in figures))


def say(value: float, name: str, system: System = "metric") -> str:
    """One figure in words."""
    if name == "time":
        return time_words(value)
    if name == "spot":
        return spot_words(value, system)
    if name == "plain":
        return f"{value:.2g}" if value < 100 else f"{value:.0f}"
    return f"{Figure(value, name, system):2}"


def reason_words(reason: str, system: System = "metric") -> str:
    """A reason as `system` says it: it is kept in millimetres, "ends 5 mm beyond" is "ends 0.2 in beyond"."""
    if system == "metric":
        return reason
    return re.sub(r"\b(\d+(?:\.\d+)?) mm\b", lambda found: say(float(found[1]) / 1e3, "place", system), reason)


def time_words(seconds: float) -> str:
    """A time as people say it: "40 s", "25 min", "3.5 h", "2 days"."""
    if seconds < 90:
        return f"{seconds:.0f} s"
    if seconds < 90 * 60:
        return f"{seconds / 60:.0f} min"
    if seconds < 48 * 3600:
        return f"{seconds / 3600:.1f} h".replace(".0 h", " h")
    return f"{seconds / 86400:.1f} days".replace(".0 days", " days")


def band_words(band: Band) -> str:
    """A time with its band: "3 h (2.5 to 4 h)"; "3 h" when both ends are said alike."""
    low, middle, high = (time_words(end) for end in band)
    return middle if low == high else f"{middle} ({low} to {high})"


def clock(minutes: int) -> str:
    """A time of the day: "07:05"."""
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def clock_words(seconds: float) -> str:
    """A time on the clock that starts with the repair: "1 d 03:20"."""
    minutes = round(seconds / 60)
    day, rest = divmod(minutes, 24 * 60)
    return f"{day} d {clock(rest)}" if day else clock(rest)


def week_words(time: float, since: float | None = None, short: bool = False) -> str:
    """A time of the week, s from Monday 00:00: "Saturday 09:00"; the clock alone on the day of `since`.

    short  "Sat 09:00"; weeks after the first have their number
    """
    minutes = round(time / 60)
    day, rest = divmod(minutes, 24 * 60)
    if since is not None and day == since // 86_400:
        return clock(rest)
    name = DAYS[day % 7][: 3 if short else None]
    return f"{name}{f' of week {day // 7 + 1}' if day >= 7 else ''} {clock(rest)}"


def ruled(length: float, system: System = "metric") -> str:
    """A length as it is laid out with a tape measure: to 5 mm, or to a quarter inch; short ones finer."""
    if system == "metric":
        grain = 5e-3 if length >= 0.1 else 1e-3
        return f"{Figure(round(length / grain) * grain, 'place', system):4}"
    inches = length / 0.0254
    parts = 4 if inches >= 4 else 8 if inches >= 1 else 16
    whole, rest = divmod(round(inches * parts), parts)
    if not rest:
        return f"{whole} in"
    common = math.gcd(rest, parts)
    return f"{whole or ''} {rest // common}/{parts // common} in".strip()


SEEN = {"bonnet": "above", "roof": "above", "tailgate": "behind the car", "bumper": "outside, facing it"}
PANELS_US = {"bonnet": "hood", "front wing": "front fender"}


def panel_words(kind: str, system: System = "metric") -> str:
    """What a panel is called in Britain, or in the United States."""
    return PANELS_US.get(kind, kind) if system == "us" else kind


def seen_from(kind: str) -> str:
    """From where a drawing of a panel shows it."""
    return SEEN.get(kind, "outside")


def spot_words(area: float, system: System = "metric") -> str:
    """An area of a spot: "35 cm²" or "5.4 sq in"; from a fifth of a square metre up in m² and sq ft."""
    if area >= 0.2:
        return f"{Figure(area, 'area', system):2}"
    number, unit = (area * 1e4, "cm²") if system == "metric" else (area / 0.0254**2, "sq in")
    return f"{float(f'{number:.2g}'):g} {unit}"
