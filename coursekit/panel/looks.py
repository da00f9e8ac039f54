"""What can be seen and measured of a panel: what shows, gauge, comb, guide coat, waves, lamp."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from coursekit.film.gauges import COMBS
from coursekit.panel.contact import product
from coursekit.panel.state import SHEETS, TEXTURE_BANDS, Area, Panel, cells_of
from coursekit.quantities import InputError
from coursekit.sanding.showthrough import visible_wave

GRID_BANDS = ((10e-3, 30e-3), (30e-3, 100e-3), (100e-3, 300e-3), (300e-3, 1.0))  # m, after those of texture
SPOTS, READINGS, SPOT_RADIUS = 5, 3, 20e-3
LEAST_SEEN = 0.1e-6  # m of a layer that is still seen as such
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


class CombReading(NamedTuple):
    """Last tooth wetted and first left dry, m."""

    wetted: float
    dry: float


class Wave(NamedTuple):
    """One band of waviness: wavelengths (m), amplitude (m), what a strict eye and most eyes still call straight."""

    low: float
    high: float
    amplitude: float
    strict: float
    kind: float


class Broken(NamedTuple):
    """Where sanding went through a material: the cells and area (m²) by what shows there, and lines it opened."""

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
    covered = np.zeros(before.dents.shape, dtype=bool)
    for layer in before.layers:
        if layer.material == material:
            covered |= layer.meant(LEAST_SEEN)
    open_now = covered & (after.film(material) <= LEAST_SEEN)
    shown = shows(after)
    to = {
        name: float(np.count_nonzero(open_now & (shown.on_top == n))) * after.cell_area
        for n, name in enumerate(shown.materials)
    }
    lines = {}
    for section in after.sections:
        layers = [n for n, layer in enumerate(after.layers) if layer.material == material]
        if section.line.kind == "mask edge" or not layers or not covered[section.at].any():
            continue
        film = section.thickness[layers].sum(axis=0)
        lines[section.line.name] = float((film <= LEAST_SEEN).any(axis=1)[covered[section.at]].mean())
    return Broken(open_now, float(open_now.sum()) * after.cell_area, {k: v for k, v in to.items() if v}, lines)


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


def comb(panel: Panel, x: float, y: float, teeth: str = "metric") -> CombReading:
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
            f"The panel is {panel.shape.size[0]:g} m by {panel.shape.size[1]:g} m.",
            kind="place",
        )
    wet = sum(float(la.wet[row, column]) for la in panel.layers if la.solvent is not None and la.solvent[row, column])
    touched = gaps[gaps <= wet]
    dry = gaps[gaps > wet]
    return CombReading(float(touched[-1]) if len(touched) else 0.0, float(dry[0]) if len(dry) else math.inf)


def guide_left(panel: Panel, area: Area = None) -> float:
    """Share of the guide coat left on an area."""
    where = cells_of(panel, area)
    return float(panel.guide_coat[where].mean())


def waviness(panel: Panel, area: Area = None) -> tuple[Wave, ...]:
    """Amplitude of the waves in every band, from orange peel to the long waves of the sheet.

    On the grid a band is what a Gaussian filter at its upper end takes out and one at its lower end leaves in
    (ISO 16610-21); the amplitude is √2 times the standard deviation. Edges of the panel count less.
    """
    where = cells_of(panel, area)
    found = [
        (*band, float(np.sqrt((texture[where] ** 2).mean())))
        for band, texture in zip(TEXTURE_BANDS, panel.texture, strict=True)
    ]
    surface = panel.surface
    weight = panel.shape.inside.astype(float)
    fine = 2 * panel.cell < GRID_BANDS[0][0]
    smooth = _smoothed(surface, weight, GRID_BANDS[0][0] / panel.cell) if fine else surface
    for low, high in GRID_BANDS:
        smoother = _smoothed(surface, weight, high / panel.cell)
        found.append((low, high, float(math.sqrt(2) * (smooth - smoother)[where].std())))
        smooth = smoother
    limits = [visible_wave.si(math.sqrt(low * high)) for low, high, _ in found]
    return tuple(
        Wave(*wave, float(limit.strict), float(limit.kind)) for wave, limit in zip(found, limits, strict=True)
    )


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
