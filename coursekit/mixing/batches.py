"""How much of each part: by volume, by running weight, and for a given area."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit import film
from coursekit.mixing.ratio import Ratio, one_each, read_ratio
from coursekit.quantities import InputError, Real, Value, Values, public


class Batch(NamedTuple):
    """Each a tuple in the order of the parts; weights are None without densities."""

    volumes: tuple[Value, ...]
    fill_lines: tuple[Value, ...]
    masses: Value = None
    running_weights: Value = None
    density: Value = None


class Shares(NamedTuple):
    of_mix: tuple[Value, ...]
    of_first: tuple[Value, ...]


class Parts(NamedTuple):
    parts: tuple[Value, ...]
    ratio: str


BATCH_NAMES = {
    "volumes": "part_volume",
    "fill_lines": "part_volume",
    "masses": "part_mass",
    "running_weights": "part_mass",
    "density": "density",
}


@public(gives=BATCH_NAMES)
def batch(ratio: str | Ratio, total: Real, densities: Values | None = None) -> Batch:
    """Volume of each part of a mix; with densities also what the scale shows after each part goes in.

    ratio: parts by volume, "4:1:1"; "2:1 +10 %" adds 10 % of the two together
    Gives volumes, fill_lines (the cup's level after each part, m³), masses and running_weights (kg), each a tuple in
    the order of the parts, and the density of the mix (kg/m³). Raises InputError for a ratio or a list it cannot
    read. Holds when volumes add up (within about 2 %). Source: parts-arithmetic; common-practice, what "+10 %" means.
    """
    read = read_ratio(ratio)
    volumes = tuple(total * share for share in read.shares)
    lines = tuple(np.cumsum(volumes, axis=0))
    if densities is None:
        return Batch(volumes, lines)
    masses = tuple(v * d for v, d in zip(volumes, one_each(densities, read, "densities"), strict=True))
    running = np.cumsum(masses, axis=0)
    return Batch(volumes, lines, masses, tuple(running), running[-1] / lines[-1])


@public(gives=BATCH_NAMES)
def batch_for_area(
    ratio: str,
    area: Real,
    dry_film: Real,
    volume_solids: Real,
    transfer_efficiency: Real,
    coats: Real = 1.0,
    reserve: Real = 0.1,
    densities: Values | None = None,
    left: Real = 0.0,
) -> Batch:
    """The batch that coats an area, with a reserve and what stays in cup and gun.

    dry_film: of each coat
    volume_solids: of the mix as sprayed
    Gives the same as `batch`. Raises InputError for a ratio or a list it cannot read, RangeError out of those ranges.
    Holds for an even film. Source: parts-arithmetic; joseph-film; common-practice, the reserve.
    """
    needed = film.paint_needed.si(area, dry_film, volume_solids, transfer_efficiency, coats)
    return batch.si(ratio, needed * (1 + reserve) + left, densities)


@public(gives={"of_mix": "part_share", "of_first": "part_share"})
def shares(ratio: str) -> Shares:
    """Each part as a share of the mix and of the first part: the two that "per cent" is mistaken for.

    Gives of_mix and of_first, each a tuple of shares. Raises InputError for a ratio it cannot read.
    Holds always. Source: parts-arithmetic.
    """
    read = read_ratio(ratio)
    return Shares(tuple(read.shares), tuple(part / read.parts[0] for part in read.parts))


def _parts(raw: np.ndarray) -> Parts:
    scaled = tuple(float(part) for part in raw / raw[0] * 100)
    return Parts(scaled, ":".join(f"{round(part, 2):g}" for part in scaled))


@public(gives={"parts": "part"})
def parts_by_mass_to_volume(mass_ratio: str, densities: Values) -> Parts:
    """Parts by volume from parts by mass.

    Gives parts, numbers per 100 of the first, and ratio, the text that `batch` takes. Raises InputError for a ratio
    or a list it cannot read.
    Holds always; the text is rounded to a hundredth of a part. Source: parts-arithmetic.
    """
    read = read_ratio(mass_ratio, "mass_ratio", "mass")
    return _parts(np.array(read.parts) / _one_row(densities, read))


@public(gives={"parts": "part"})
def parts_by_volume_to_mass(ratio: str, densities: Values) -> Parts:
    """Parts by mass from parts by volume.

    Gives parts, numbers per 100 of the first, and ratio, their text. Raises InputError for a ratio or a list it
    cannot read.
    Holds always; the text is rounded to a hundredth of a part. Source: parts-arithmetic.
    """
    read = read_ratio(ratio)
    return _parts(np.array(read.parts) * _one_row(densities, read))


def _one_row(densities: Values, read: Any) -> np.ndarray:
    found = one_each(densities, read, "densities")
    if found.ndim != 1:
        raise InputError("densities", "holds lists of lists.", "Give one density for each part.", kind="list")
    return found


def weighted(ratio: str, values: Values, argument: str) -> Any:
    """Sum over the parts of volume share × value."""
    read = read_ratio(ratio)
    return np.tensordot(read.shares, one_each(values, read, argument), axes=1)[()]


@public(gives="density")
def mix_density(ratio: str, densities: Values) -> Real:
    """Density of a mix from its parts.

    Gives kg/m³. Raises InputError for a ratio or a list it cannot read.
    Holds when volumes add up (within about 2 %). Source: voc-permit-worksheet.
    """
    found: Real = weighted(ratio, densities, "densities")
    return found


@public(gives="volume_solids")
def mix_volume_solids(ratio: str, component_solids: Values) -> Real:
    """Volume solids of a mix from its parts.

    Gives share. Raises InputError for a ratio or a list it cannot read.
    Holds when volumes add up (within about 2 %). Source: parts-arithmetic.
    """
    found: Real = weighted(ratio, component_solids, "component_solids")
    return found


@public(gives="part_share")
def mix_mass_share(ratio: str, densities: Values, component_mass_shares: Values) -> Real:
    """Share by mass of one thing (solids, solvent) in a mix from its share in each part.

    Gives share. Raises InputError for a ratio or a list it cannot read.
    Holds when volumes add up. Volume shares alone would be wrong as weights: each counts by its density too.
    Source: parts-arithmetic; voc-permit-worksheet, whose shortcut this does not follow.
    """
    densities, shares_ = np.asarray(densities, dtype=float), np.asarray(component_mass_shares, dtype=float)
    read = read_ratio(ratio)
    one_each(densities, read, "densities")
    one_each(shares_, read, "component_mass_shares")
    found: Real = weighted(ratio, densities * shares_, "densities") / weighted(ratio, densities, "densities")
    return found
