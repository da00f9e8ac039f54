"""Filling, washing and waiting."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from coursekit.panel.state import (
    Area,
    Layer,
    Panel,
    Solids,
    Solvent,
    Used,
    cells_of,
    changed,
    check,
    frozen,
    known_material,
    share_of,
)
from coursekit.quantities import InputError

ON_LINE = 1e-6  # m
WIPED = 0.2  # share of wax and dust on the surface that one wipe leaves (assumed)
WIPED_EMBEDDED = 0.8  # the same for what is rubbed into scratches (assumed)


@dataclass(frozen=True, repr=False, kw_only=True)
class Filled(Used):
    """What filling used: how much contamination lies under it (0 to 1), and its film where it is deepest (m)."""

    over_contamination: float
    deepest: float


def fill(
    panel: Panel,
    *,
    area: tuple[float, float, float, float],
    proud: float = 0.3e-3,
    rim: float = 25e-3,
    ripple: float = 0.1e-3,
    ripple_length: float = 60e-3,
    material: str = "filler",
    time: float = 180.0,
    seed: int = 0,
) -> tuple[Panel, Filled]:
    """Spread filler over an area: lows are filled to the level of its border, and a little proud of it.

    Where the area ends at a body line there is tape along the ridge: filler is drawn off level with it, and what lies
    beyond does not say how high it is.

    proud          m   height over the level, once the rim is passed
    rim            m   width over which it runs out to nothing
    ripple         m   amplitude that the spreader leaves, at waves of about `ripple_length` (m)
    """
    known_material(material)
    check(
        proud=(proud, 0, 0.02),
        rim=(rim, panel.cell, 1),
        ripple=(ripple, 0, 5e-3),
        ripple_length=(ripple_length, 2 * panel.cell, 1),
    )
    share = share_of(panel, area) * (panel.mask < 0.5)
    rows, columns = (np.flatnonzero(share.any(axis=axis)) for axis in (1, 0))
    if not len(rows):
        raise InputError("area", "is masked.", "Take the mask off, or fill another area.", kind="state")
    here = slice(rows[0], rows[-1] + 1), slice(columns[0], columns[-1] + 1)
    x0, x1, y0, y1 = area
    x, y = panel.shape.x[here[1]], panel.shape.y[here[0]]
    along = np.minimum(x - x0, x1 - x)
    into = np.minimum(along, np.minimum(y - y0, y1 - y)[:, None])
    low, high = (math.inf if _taped(panel, side) else side for side in (y0, y1))
    untaped = np.minimum(along, np.minimum(abs(y - low), abs(high - y))[:, None])
    swell = np.clip(into / rim, 0, 1)
    swell = swell * swell * (3 - 2 * swell)
    surface = panel.surface[here]
    border = share[here] * np.clip((min(rim, 0.5 * float(into.max())) - untaped) / panel.cell + 0.5, 0, 1)
    level = _middle(surface, border if border.any() else share[here])  # the border may be masked
    target = level + swell * (proud + ripple * _ripples(x, y, ripple_length, seed))
    film = np.zeros(panel.dents.shape)
    film[here] = share[here] * np.maximum(target - surface, 0)
    film.setflags(write=False)
    covered = film > 0
    merge = panel.layers[-1].material == material
    thickness = frozen(panel.layers[-1].thickness + film) if merge else film
    layers = (*(panel.layers[:-1] if merge else panel.layers), Layer(material, thickness, None, panel.time))
    sections = tuple(
        section.with_film(film[section.at][:, None] + 0 * section.across, merge) for section in panel.sections
    )
    volume = float(film.sum()) * panel.cell_area
    over = float((panel.contamination * film).sum()) * panel.cell_area / volume if volume else 0.0
    bare = ~covered
    new = changed(
        panel,
        layers=layers,
        sections=sections,
        scratch=panel.scratch * bare,
        guide_coat=panel.guide_coat * bare,
        contamination=panel.contamination * bare,
        embedded=panel.embedded * bare,
        dust=panel.dust * bare,
        texture=tuple(frozen(band * bare) for band in panel.texture),
        time=panel.time + time,
    )
    return new, Filled(
        act="fill",
        time=time,
        solids=Solids(volume, volume),
        over_contamination=over,
        deepest=float(film.max()),
    )


def _taped(panel: Panel, side: float) -> bool:
    """Whether a side of an area along the panel lies on a body line."""
    lines = (line for line in panel.shape.lines if line.kind == "body line")
    return any(abs(line.points[0, 1] - side) < ON_LINE for line in lines)


def _middle(values: np.ndarray, weights: np.ndarray) -> float:
    """Mean of the middle half of the values, each counting by its weight.

    A low that reaches under the border does not count, as for a median, and it makes no jumps: the heights of a
    feathered rim are few, row by row of cells.
    """
    order = np.argsort(values, axis=None)
    upto = np.cumsum(weights.ravel()[order])
    counted = np.diff(np.clip(upto / upto[-1], 0.25, 0.75), prepend=0.25)
    return float(counted @ values.ravel()[order] / 0.5)


def _ripples(x: np.ndarray, y: np.ndarray, length: float, seed: int) -> np.ndarray:
    """Waves of mixed direction and about one length; standard deviation about 0.7."""
    random = np.random.default_rng(seed)
    total = np.zeros((len(y), len(x)))
    for turn, phase, stretch in zip(
        random.random(6) * np.pi, random.random(6) * 2 * np.pi, random.uniform(0.7, 1.4, 6), strict=True
    ):
        wave = 2 * np.pi / (length * stretch)
        total += np.sin(wave * (x * np.cos(turn) + (y * np.sin(turn))[:, None]) + phase)
    found: np.ndarray = total / np.sqrt(6)
    return found


def wash(panel: Panel, *, wipes: int = 2, area: Area = None, time: float = 300.0) -> tuple[Panel, Used]:
    """Wipe wax, grease and dust off, each wipe with a clean cloth; what is rubbed into scratches hardly comes out."""
    check(wipes=(wipes, 0, 20))
    where = cells_of(panel, area)
    surface, embedded = np.where(where, WIPED**wipes, 1.0), np.where(where, WIPED_EMBEDDED**wipes, 1.0)
    new = changed(
        panel,
        contamination=panel.contamination * surface,
        dust=panel.dust * surface,
        embedded=panel.embedded * embedded,
        time=panel.time + time,
    )
    return new, Used("wash", time)


def wait(panel: Panel, *, time: float, solvent_half_time: float = 300.0) -> tuple[Panel, Used]:
    """Let time pass: half of the solvent left in the films goes to the air in every `solvent_half_time` (s)."""
    check(time=(time, 0, 1e9), solvent_half_time=(solvent_half_time, 1e-3, 1e9))
    share = 0.5 ** (time / solvent_half_time)
    before = panel.solvent_volume()
    layers = tuple(
        layer
        if layer.solvent is None
        else replace(layer, solvent=frozen(layer.solvent * share) if share > 1e-6 else None)
        for layer in panel.layers
    )
    new = changed(panel, layers=layers, time=panel.time + time)
    after = new.solvent_volume()
    return new, Used("wait", time, solvent=Solvent(left=before, panel=after, air=before - after))
