"""What can be seen and measured of a panel: what shows, gauge, comb, guide coat, waves, lamp."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from coursekit.film.gauges import COMBS, CombTeeth
from coursekit.panel.products import product
from coursekit.panel.state import SHEETS, TEXTURE_BANDS, Area, Panel, cells_of, share_of
from coursekit.panel.tools import cut_ease
from coursekit.quantities import InputError
from coursekit.sanding.showthrough import visible_wave

GRID_BANDS = ((10e-3, 30e-3), (30e-3, 100e-3), (100e-3, 300e-3), (300e-3, 1.0))  # m, after those of texture
SPOTS, READINGS, SPOT_RADIUS = 5, 3, 20e-3
LEAST_SEEN = 0.1e-6  # m of a layer that is still seen as such
FEATHER = {
    "filler": 20e-6
}  # m: thinner, it is a rim meant to run out, a scratch of the paper that shapes it (assumed)
ALPHA = math.sqrt(math.log(2) / math.pi)  # of the Gaussian profile filter, ISO 16610-21


class Shown(NamedTuple):
    """What lies on top: number in `materials` per cell (−1 off the panel), and each material's share of the area."""

    materials: tuple[str, ...]
    on_top: np.ndarray
    share: dict[str, float]


class GaugeReading(NamedTuple):
    """Spot readings (spots, 3) m of a dry-film gauge, and their mean; nothing on plastic."""

    readings: np.ndarray | None
    mean: float | None
    places: np.ndarray


class Wave(NamedTuple):
    """One band of waviness: wavelengths (m), amplitude (m), what a strict eye and most eyes still call straight."""

    low: float
    high: float
    amplitude: float
    strict: float
    kind: float


class Broken(NamedTuple):
    """Where sanding went through a material: the cells and area (m²) by what shows there, and lines it opened.

    The area is finer than the cells (`opened`); `cells` are those whose middle is open.
    """

    cells: np.ndarray
    area: float
    to: dict[str, float]
    lines: dict[str, float]


def shows(panel: Panel, area: Area = None) -> Shown:
    """What lies on top, cell by cell."""
    index = panel.shape.inside.astype(int) - 1
    for number, layer in enumerate(panel.layers[1:], 1):
        index[layer.thickness > LEAST_SEEN] = number
    materials = tuple(dict.fromkeys(layer.material for layer in panel.layers))
    order = np.array([materials.index(layer.material) for layer in panel.layers] + [-1])
    named = order[index]
    where = cells_of(panel, area)
    cells = max(int(where.sum()), 1)
    share = {m: float(np.count_nonzero(named[where] == n)) / cells for n, m in enumerate(materials)}
    return Shown(materials, named, {m: s for m, s in share.items() if s})


def broken_through(before: Panel, after: Panel, material: str) -> Broken:
    """Where a coat of `material` covered the panel before and something else shows now; overspray is no coat.

    `lines` gives for each body line and edge the share of its length that is open, though the grid may not show it.
    """
    layers = [n for n, layer in enumerate(before.layers) if layer.material == material]
    covered = np.zeros(before.dents.shape, dtype=bool)
    for number in layers:
        covered |= before.layers[number].meant(LEAST_SEEN)
    open_now = covered & (after.film(material) <= LEAST_SEEN)
    share, under = opened(before, after, layers, covered)
    areas = np.bincount(under.ravel(), share.ravel(), len(after.layers)) * after.cell_area
    to: dict[str, float] = {}
    for layer, area in zip(after.layers, areas, strict=True):
        if area:
            to[layer.material] = to.get(layer.material, 0.0) + float(area)
    lines = {}
    for section in after.sections:
        layers = [n for n, layer in enumerate(after.layers) if layer.material == material]
        if section.line.kind == "mask edge" or not layers or not covered[section.at].any():
            continue
        film = section.thickness[layers].sum(axis=0)
        lines[section.line.name] = float((film <= LEAST_SEEN).any(axis=1)[covered[section.at]].mean())
    return Broken(open_now, sum(to.values()), to, lines)


def opened(before: Panel, after: Panel, layers: Sequence[int], covered: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Share of each covered cell where those layers are gone, and the number of the layer that shows there.

    From cell to cell the depth runs on: film that is left counts up, and what went of the layers under it down, as
    if it were cut as easily. Where that passes zero within a cell the coat ends, however large the cells.
    """
    thickness = [layer.thickness for layer in after.layers]
    left = np.sum([thickness[n] for n in layers], axis=0) - LEAST_SEEN
    gone, share = covered & (left <= 0), np.zeros(left.shape)
    under = np.zeros(left.shape, dtype=np.intp)
    if not gone.any():
        return share, under
    rows, columns = (np.flatnonzero(gone.any(axis=axis)) for axis in (1, 0))
    here = slice(max(rows[0] - 2, 0), rows[-1] + 3), slice(max(columns[0] - 2, 0), columns[-1] + 3)
    depth, film = left[here], np.sum([before.layers[n].thickness[here] for n in layers], axis=0)
    material = after.layers[layers[-1]].material
    ease = cut_ease(material)
    deeper = np.zeros(depth.shape)
    for number, (old, new) in enumerate(zip(before.layers[: layers[-1]], thickness, strict=False)):
        if number not in layers:
            deeper += (old.thickness[here] - new[here]) * (ease / cut_ease(old.material))
            under[here] = np.where(new[here] > LEAST_SEEN, number, under[here])
    depth = np.where(depth > 0, depth, np.minimum(depth, -deeper))
    was = film - FEATHER.get(material, LEAST_SEEN)
    now_open, was_open = (
        below_zero(each, *(_slope(each, film > 0, after.shape.inside[here], axis) for axis in (0, 1)))
        for each in (depth, was)
    )
    # A film that runs out reaches into cells whose middle it does not cover.
    ends = _beside(covered[here]) & (film <= LEAST_SEEN)
    share[here] = np.maximum(now_open - was_open, 0) * (covered[here] | ends)
    return share, under


def _beside(cells: np.ndarray) -> np.ndarray:
    """Cells on the four sides of those."""
    found = np.zeros_like(cells)
    found[1:], found[:, 1:] = cells[:-1], cells[:, :-1]
    found[:-1] |= cells[1:]
    found[:, :-1] |= cells[:, 1:]
    return found


def _slope(depth: np.ndarray, there: np.ndarray, on: np.ndarray, axis: int) -> np.ndarray:
    """Difference from cell to cell along an axis where there was film, from both sides that are on the panel."""
    step, on = np.moveaxis(np.diff(depth, axis=axis), axis, 0), np.moveaxis(on, axis, 0)
    both = on[1:] & on[:-1]
    total, count = np.zeros(on.shape), np.zeros(on.shape, dtype=int)
    for side in (slice(None, -1), slice(1, None)):
        total[side] += step * both
        count[side] += both
    found: np.ndarray = np.moveaxis(total / np.maximum(count, 1), 0, axis) * there
    return found


def below_zero(middle: np.ndarray, one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """Share of a cell where a plane, of that height in its middle and rising so much each way, is below zero."""
    a, b = np.maximum(np.abs(one), 1e-15), np.maximum(np.abs(other), 1e-15)
    h = np.clip((a + b) / 2 - middle, 0, a + b)  # farther off, rounding would leave nothing of the differences
    area = sum(sign * np.maximum(h - off, 0) ** 2 for sign, off in ((1, 0), (-1, a), (-1, b), (1, a + b)))
    share: np.ndarray = np.clip(area / (2 * a * b), 0, 1)
    return share


def gauge(panel: Panel, area: Area = None, *, error: float = 0.03, spots: int = SPOTS, seed: int = 0) -> GaugeReading:
    """Five spots of three readings, each spot a circle of 4 cm: everything down to the steel, as a gauge reads it.

    error  share  standard deviation of one reading of this gauge

    A gauge cannot tell surfacer from the filler under it: only the difference before and after says what went. On
    plastic it reads nothing.
    """
    rows, columns = np.nonzero(cells_of(panel, area))
    random = np.random.default_rng(seed)
    chosen = random.integers(len(rows), size=spots)
    places = np.stack([panel.shape.x[columns[chosen]], panel.shape.y[rows[chosen]]], axis=1)
    if panel.layers[0].material != "steel":
        return GaugeReading(None, None, places)
    angle, reach = random.random((2, spots, READINGS))
    reach = SPOT_RADIUS * np.sqrt(reach)
    at = places[:, None] + np.stack([reach * np.cos(2 * np.pi * angle), reach * np.sin(2 * np.pi * angle)], axis=-1)
    ny, nx = panel.dents.shape
    column, row = np.moveaxis((at / panel.cell).astype(int), -1, 0)
    row, column = np.clip(row, 0, ny - 1), np.clip(column, 0, nx - 1)
    # A probe that misses the panel reads its spot's middle instead.
    off = ~panel.shape.inside[row, column]
    row, column = np.where(off, rows[chosen][:, None], row), np.where(off, columns[chosen][:, None], column)
    film = sum(layer.wet for layer in panel.layers if layer.material not in SHEETS)
    if isinstance(film, int):
        film = np.zeros_like(panel.dents)
    readings = film[row, column] * (1 + error * random.standard_normal((spots, READINGS)))
    return GaugeReading(readings, float(readings.mean()), places)


def comb(panel: Panel, x: float, y: float, teeth: str = "metric") -> CombTeeth:
    """What a wet-film comb says at a place (m): the film that is still wet, its solvent with it."""
    try:
        gaps = COMBS[teeth]
    except (KeyError, TypeError):
        raise InputError(
            "teeth", "is not a comb.", "Choose from: " + ", ".join(COMBS) + ".", kind="other type"
        ) from None
    row, column = int(y / panel.cell), int(x / panel.cell)
    ny, nx = panel.dents.shape
    if not (0 <= row < ny and 0 <= column < nx and panel.shape.inside[row, column]):
        raise InputError(
            "x",
            "is not on the panel.",
            panel.shape.how_large,
            kind="place",
        )
    wet = sum(float(la.wet[row, column]) for la in panel.layers if la.solvent is not None and la.solvent[row, column])
    touched = gaps[gaps <= wet]
    dry = gaps[gaps > wet]
    return CombTeeth(float(touched[-1]) if len(touched) else 0.0, float(dry[0]) if len(dry) else math.inf)


def guide_left(panel: Panel, area: Area = None) -> float:
    """Share of the guide coat left on an area."""
    share = share_of(panel, area)
    return float((panel.guide_coat * share).sum() / share.sum())


def waviness(panel: Panel, area: Area = None) -> tuple[Wave, ...]:
    """Amplitude of the waves in every band, from orange peel to the long waves of the sheet.

    On the grid a band is what a Gaussian filter at its upper end takes out and one at its lower end leaves in
    (ISO 16610-21); the amplitude is √2 times the standard deviation. Edges of the panel count less.
    """
    share = share_of(panel, area)
    share /= share.sum()
    found = [
        (*band, float(np.sqrt((texture**2 * share).sum())))
        for band, texture in zip(TEXTURE_BANDS, panel.texture, strict=True)
    ]
    surface = panel.surface
    weight = panel.shape.inside.astype(float)
    fine = 2 * panel.cell < GRID_BANDS[0][0]
    smooth = _smoothed(surface, weight, GRID_BANDS[0][0] / panel.cell) if fine else surface
    for low, high in GRID_BANDS:
        smoother = _smoothed(surface, weight, high / panel.cell)
        found.append((low, high, math.sqrt(2 * _variance(smooth - smoother, share))))
        smooth = smoother
    limits = [visible_wave.si(math.sqrt(low * high)) for low, high, _ in found]
    return tuple(
        Wave(*wave, float(limit.strict), float(limit.kind)) for wave, limit in zip(found, limits, strict=True)
    )


def _variance(values: np.ndarray, share: np.ndarray) -> float:
    """Of values that count by their share of the whole."""
    return float(((values - (values * share).sum()) ** 2 * share).sum())


def _smoothed(surface: np.ndarray, weight: np.ndarray, cutoff: float) -> np.ndarray:
    """Gaussian filter with its cut-off in cells; cells off the panel count for nothing."""
    rows, columns = (_gaussian(n, round(cutoff, 6)) for n in surface.shape)
    under = product(product(rows, weight), columns.T)
    found: np.ndarray = product(product(rows, surface * weight), columns.T) / np.maximum(under, 1e-12)
    return found


@lru_cache(maxsize=32)
def _gaussian(cells: int, cutoff: float) -> np.ndarray:
    apart = np.subtract.outer(np.arange(cells), np.arange(cells)) / (ALPHA * cutoff)
    kernel = np.exp(-np.pi * apart**2)
    kernel /= kernel.sum(axis=1, keepdims=True)
    kernel.setflags(write=False)
    return kernel


def lamp(panel: Panel, along: str = "x") -> np.ndarray:
    """How far a straight lamp's image is turned by the surface's departure from its form, rad: twice the slope."""
    slope = np.gradient(panel.surface, panel.cell, axis=1 if along == "x" else 0)
    return np.where(panel.shape.inside, 2 * slope, 0.0)
