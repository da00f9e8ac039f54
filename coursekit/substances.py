"""What is in the can and in the air: solvents, exposure limits, and the names a substance goes by."""

from __future__ import annotations

import functools
import re
from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np

from coursekit.nomenclature import load_data
from coursekit.quantities import InputError, read

LONGEST_NAME = 80
MOST_PARTS = 20
# A name that holds one of these is taken for an isocyanate: better once too often.
_ISOCYANATE = re.compile(
    r"iso[ -]?[cz][iy]an|urethan|"
    r"(?<![a-z])(hdi|[hp]?mdi|h12mdi|tdi|ipdi|m?xdi|tmxdi|tmdi|ndi|ppdi|chdi|nco|pur?)(?![a-z])",
    re.IGNORECASE,
)
# So is paint of two parts or what sets it, unless its name says that another chemistry does.
_TWO_PARTS = re.compile(
    r"(?<![a-z0-9])(2|two)[ -]*(k|packs?|parts?|components?)(?![a-z])|hardener|activat(?:or|ed)", re.IGNORECASE
)
_OTHER_CHEMISTRY = re.compile(r"epox|peroxid|polyester", re.IGNORECASE)


def limits() -> Mapping[str, Any]:
    """Every row of the exposure limits."""
    return load_data("exposure_limits")


def solvents() -> Mapping[str, Any]:
    """Every row of the solvents."""
    return load_data("solvents")


def _plain(name: str) -> str:
    return re.sub(r"[^a-z0-9]", "", name.casefold())


@functools.lru_cache(maxsize=1)
def _names() -> Mapping[str, str]:
    found = {}
    for key, row in limits().items():
        for name in (key, row["name"], *row["also"]):
            found[_plain(name)] = key
    return found


def substance_key(substance: object, argument: str = "substance") -> str:
    """The row a name means: capitals, hyphens and spaces do not matter; any isocyanate not listed is one."""
    return _key(substance, argument, list(limits()))


def solvent_key(solvent: object, argument: str = "solvent") -> str:
    """The solvent a name means."""
    return _key(solvent, argument, list(solvents()))


def _key(name: object, argument: str, among: list[str]) -> str:
    if not isinstance(name, str) or not name.strip() or len(name) > LONGEST_NAME:
        raise InputError(
            argument,
            "is not the name of a substance.",
            f"Use a name of the safety data sheet, such as {limits()[among[-2]]['name']}.",
            kind="form",
        )
    plain = _plain(name)
    key = _names().get(plain, "isocyanate" if _names_isocyanate(name) else "")
    if key in among:
        return key
    meant = next((key for other, key in _written_names() if key in among and misspelt(name, other)), None)
    near = f' Did you mean "{limits()[meant]["name"]}"?' if meant else _FAMILIES.get(plain, "")
    raise InputError(
        argument,
        f'"{name.strip()}" is not known: it is in no table here.{near}',
        "No other substance stands in for it. Read its limits in section 8 of its safety data sheet, "
        "its fire data in section 9.",
        kind="unknown",
    )


# Names (letters and figures only) that mean several solvents, none of which stands in for another, or a blend.
_FAMILIES = {
    "naphtha": ' There are several: "light naphtha" is that of panel wipe, "white spirit" is heavier, and that of '
    "reducers is aromatic. Its safety data sheet says which.",
    "technicalxylene": ' It is a blend, some four fifths "xylene" and a fifth "ethylbenzene" by mass. Its safety '
    "data sheet has the shares.",
    "panelwipe": ' It is a blend, mostly "light naphtha", often with some "xylene". Its safety data sheet has '
    "the shares.",
}
# Parts of a name that make another chemical of it: what carries one that the other lacks is no misspelling.
_MEANING = re.compile(
    r"cyclo|methyl|ethyl|propyl|butyl|pentyl|amyl|hexyl|heptyl|octyl|vinyl|phenyl|benzyl|iso|neo|"
    r"sec|tert|tri|di|mono|poly|chloro|hydroxy|methoxy|ethoxy|butoxy|glycol"
)
_FIRST = re.compile(r"^(n|i|s|t|o|m|p|iso|sec|tert)[- ]")  # n-butyl and t-butyl are two
_ENDS = re.compile(r"(anol|enol|ol|one|ate|ane|ene|ine|yne|ide|al|yl)$")


def misspelt(name: str, other: str) -> bool:
    """Whether a name is another one with a slip of the pen in it, and not the name of another chemical."""
    here, there = name.casefold().strip(), other.casefold()
    if re.findall(r"\d+", here) != re.findall(r"\d+", there):
        return False
    parts, others = _MEANING.findall(here), _MEANING.findall(there)
    if any(parts.count(part) > others.count(part) for part in parts):
        return False
    first, ends = (
        tuple(match[1] if (match := shape.search(text)) else "" for text in (here, there))
        for shape in (_FIRST, _ENDS)
    )
    if (first[0] and first[0] != first[1]) or (all(ends) and ends[0] != ends[1]):
        return False
    plain, plain_other = _plain(here), _plain(there)
    allowed = max(len(plain), len(plain_other)) // 6  # slips: one in six letters, two in twelve
    if abs(len(plain) - len(plain_other)) > 2:
        return False
    slips = _slips(plain, plain_other)
    left_out = (part for part in set(others) if others.count(part) > parts.count(part))
    if any(_slips(plain, plain_other.replace(part, "", 1)) < slips for part in left_out):
        return False  # methylbenzene is no misspelt dimethylbenzene
    return 0 < slips <= min(allowed, 2)


def _slips(one: str, other: str) -> int:
    """Letters put in, left out, changed or exchanged with their neighbour between two words."""
    before: list[int] = []
    last = list(range(len(other) + 1))
    for i, a in enumerate(one, 1):
        now = [i]
        for j, b in enumerate(other, 1):
            now.append(min(last[j] + 1, now[-1] + 1, last[j - 1] + (a != b)))
            if i > 1 and j > 1 and a == other[j - 2] and one[i - 2] == b:
                now[j] = min(now[j], before[j - 2] + 1)
        before, last = last, now
    return last[-1]


def _written_names() -> list[tuple[str, str]]:
    """Every name as it is written, with its row."""
    return [(name, key) for key, row in limits().items() for name in (row["name"], *row["also"])]


def _names_isocyanate(name: str) -> bool:
    if _ISOCYANATE.search(name):
        return True
    return bool(_TWO_PARTS.search(name)) and not _OTHER_CHEMISTRY.search(name)


def molar_mass(key: str) -> float:
    """kg/mol; of a substance in the table of limits."""
    return float(read(limits()[key]["molar_mass"], "molar_mass"))


def lowest_limit(key: str) -> tuple[float, str]:
    """The smallest published shift limit or ceiling of a solvent, as a share of the air, and whose it is."""
    row = limits()[key]
    whose = {
        "pel": "US law",
        "rel": "the US institute",
        "ceiling": "the US institute, never above it",
        "eu": "the EU",
    }
    return min((row[field] * 1e-6, word) for field, word in whose.items() if field in row)


class Solvent(NamedTuple):
    """A solvent or a blend: arrays with one place per part."""

    keys: tuple[str, ...]
    share: np.ndarray  # by mass
    molar_mass: np.ndarray
    density: np.ndarray
    antoine: np.ndarray  # (parts, 3)
    evaporation: np.ndarray  # published, n-butyl acetate = 1
    explosive: np.ndarray  # share of the air

    @property
    def mixed_density(self) -> float:
        return float(1 / np.sum(self.share / self.density))

    @property
    def mean_molar_mass(self) -> float:
        return float(1 / np.sum(self.share / self.molar_mass))


def read_solvent(solvent: object, argument: str = "solvent") -> Solvent:
    """A name, or a blend by mass such as {"xylene": "60 %", "n-butyl acetate": "40 %"}."""
    if isinstance(solvent, Mapping):
        if not 0 < len(solvent) <= MOST_PARTS:
            raise InputError(
                argument,
                "is an empty or endless blend.",
                'Write {"xylene": "60 %", "n-butyl acetate": "40 %"}.',
                kind="empty",
            )
        parts: dict[str, float] = {}
        for name, share in solvent.items():
            key = solvent_key(name, argument)
            value = read(share, "solvent_share", f"{argument}: {name}")
            if np.ndim(value):
                raise InputError(argument, f"the share of {name} is a list.", "Give one share by mass.", kind="list")
            parts[key] = parts.get(key, 0.0) + float(value)
        total = sum(parts.values())
        if not 0.99 <= total <= 1.01:
            raise InputError(
                argument,
                f"the shares add up to {100 * total:.4g} %.",
                "Shares by mass of the solvent alone come to 100 %.",
                kind="impossible",
            )
        parts = {key: value / total for key, value in parts.items() if value > 0}
    else:
        parts = {solvent_key(solvent, argument): 1.0}
    rows = [solvents()[key] for key in parts]
    return Solvent(
        tuple(parts),
        np.array(list(parts.values())),
        np.array([read(row["molar_mass"], "molar_mass") for row in rows]),
        np.array([read(row["density"], "density") for row in rows]),
        np.array([row["antoine"] for row in rows], dtype=float),
        np.array([row["evaporation"] for row in rows], dtype=float),
        np.array([limits()[key]["lower_explosive_limit"] / 100 for key in parts]),
    )


def vapour_pressures(solvent: Solvent, temperature: object) -> np.ndarray:
    """Pa, of each part alone; the last axis is the part."""
    a, b, c = solvent.antoine.T
    found: np.ndarray = 10 ** (a - b / (np.asarray(temperature, dtype=float)[..., None] + c))
    return found
