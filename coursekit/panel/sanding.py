"""Sanding: a block pressed by a hand, place after place, cuts through the layers by Preston's law.

The block visits the region again and again, each time on another lattice of places; at each visit it is pressed
on the surface as it then is (`panel.contact`) and cuts k_p · pressure · sliding. Within one visit the surface
gives way while the block stands on it: wear is a second spring in series with the backing, so a visit may be
long without digging its own outline. Edges, crowns, lows and breakthrough come out of this and of nothing else.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache
from typing import Any

import numpy as np

from coursekit.panel.contact import Axis, Lattice, Press, along_axis, held, press
from coursekit.panel.marks import marked
from coursekit.panel.sections import cut_sections
from coursekit.panel.shapes import Shape
from coursekit.panel.stack import Stack
from coursekit.panel.state import Area, Layer, Panel, Used, cells_of, changed, check
from coursekit.panel.tools import Paper, Tool
from coursekit.quantities import InputError
from coursekit.sanding.contours import crown_bearing

FEWEST_VISITS, MOST_VISITS = 8, 24
MOST_DEGREE = 9  # of the shape that a board takes along its length
MOST_FOLLOWED = 4  # block lengths: a board that only follows longer waves than these is rigid
REMOVED_PER_VISIT = 2e-6  # m, mean
WEAR_PER_VISIT = 0.25  # of the backing's own give
GOLDEN = 0.6180339887498949
MOST_OVERHANG = 0.45  # share of the block past the edge: at a half it tips off


def sand(panel: Panel, act: str, *, tool: Tool, paper: Paper, force: float, sliding: float, along: str, area: Area,
         overhang: float, keep_off: float | None, hand: float, seed: int, finer: float,
         time_per_travel: float, stroke_length: float = 0.0) -> tuple[Panel, Used]:  # fmt: skip
    """Press and cut: what block, hand, machine and polisher have in common.

    sliding          m    of the paper over every place
    time_per_travel  s/m  of the tool's travel counted in block lengths laid end to end
    """
    check(force=(force, 0.1, 500), sliding=(sliding, 0, 1e5), overhang=(overhang, 0, MOST_OVERHANG),
          hand=(hand, 0, 0.5), finer=(finer, 0.1, 64), keep_off=(keep_off or 0.0, -1, 1))  # fmt: skip
    if along not in ("x", "y", "cross"):
        raise InputError("along", f"{along!r} is not a direction.", 'Choose "x", "y" or "cross".')
    _sandable(panel, paper)
    where = cells_of(panel, area) & (panel.mask < 0.5)
    rates = np.array([paper.removal[layer.material] for layer in panel.layers])
    window = _window(where, max(tool.length, tool.width) / panel.cell / 2 + 1)
    stack = Stack(np.array([layer.thickness[window] for layer in panel.layers]), rates)
    region = _Region(panel, window, where, tool, force, overhang, keep_off)
    work = np.zeros(region.surface.shape)
    axes = ("x", "y") if along == "cross" else (along,)
    visits = max(2, math.ceil(_visits(tool, force, sliding, float(stack.rate[where[window]].mean())) * finer))
    step = sliding / visits
    random = np.random.default_rng(seed)
    places = {axis: _places(-(-visits // len(axes)), random) for axis in axes}
    travel = force_travel = unbalance = 0.0
    for visit in range(visits):
        axis = axes[visit % len(axes)]
        start = places[axis][visit // len(axes)]
        laid = region.press(axis, start, len(places[axis]), _stiffness(tool.backing, stack.rate * step), hand, random)
        spent = laid.pressure * step
        region.surface -= stack.cut(spent)
        work += spent
        travel += laid.blocks * step
        force_travel += laid.force * step
        unbalance = max(unbalance, laid.unbalance)
    new, removed = _after(panel, window, stack, work, rates, paper, sliding, tool)
    seconds = travel * time_per_travel
    gone = {material: volume for material, volume in removed.items() if volume}
    figures = {"visits": visits, "unbalance": unbalance, "mean removed": sum(gone.values()) / _area(panel, where)}
    used = Used(act, seconds, removed=gone, paper=paper.grade, paper_area=tool.area, travel=travel,
                strokes=travel / stroke_length if stroke_length else 0.0,
                force_travel=force_travel, figures=figures)  # fmt: skip
    return changed(new, time=panel.time + seconds), used


def _stiffness(backing: float, give: np.ndarray) -> np.ndarray:
    """Backing (Pa/m) in series with wear that gives `give` (m/Pa) during a visit.

    A wave that the block cuts in full shrinks by exp(−w), w = give × backing, and one that it hardly cuts at the
    full rate: the second term of the exponent holds both within w/4.
    """
    wear = give * backing
    return backing * np.where(wear > 1e-9, -np.expm1(-wear * (1 + wear / 4)) / np.maximum(wear, 1e-9), 1.0)


def _places(count: int, random: np.random.Generator) -> np.ndarray:
    """Starts (count, 2) of the lattices, in shares of the block: evenly spaced both ways, neighbours far apart."""
    order = np.arange(count) * _coprime(count, GOLDEN**2) % count
    return ((np.stack([order, order * _coprime(count, GOLDEN)], axis=1) + random.random(2)) % count) / count


def _coprime(count: int, share: float) -> int:
    wanted = share * count
    return min((k for k in range(1, count + 1) if math.gcd(k, count) == 1), key=lambda k: abs(k - wanted))


def _sandable(panel: Panel, paper: Paper) -> None:
    for layer in panel.layers:
        if layer.solvent is not None and float(layer.solvent.max(initial=0)) > 0.02 * float(layer.wet.max(initial=0)):
            raise InputError("panel", f"the {layer.material} is still wet.", "Let it dry before sanding it.")
        if not (paper.removal.get(layer.material, 0) > 0 and paper.scratch.get(layer.material, 0) >= 0):
            raise InputError("paper", f"has no removal coefficient and scratch depth for {layer.material}.",
                             "Give one for every material on the panel.")  # fmt: skip


def _area(panel: Panel, where: np.ndarray) -> float:
    return max(int(np.count_nonzero(where)), 1) * panel.cell_area


def _visits(tool: Tool, force: float, sliding: float, rate: float) -> int:
    removed, wear = rate * force / tool.area * sliding, rate * tool.backing * sliding
    return math.ceil(min(max(removed / REMOVED_PER_VISIT, wear / WEAR_PER_VISIT, FEWEST_VISITS), MOST_VISITS))


def _window(where: np.ndarray, reach: float) -> tuple[slice, slice]:
    if not where.any():
        raise InputError("area", "is masked or not on the panel.", "Take the mask off, or sand another area.")
    window = []
    for axis, size in ((1, where.shape[0]), (0, where.shape[1])):
        found = np.flatnonzero(where.any(axis=axis))
        window.append(slice(max(0, found[0] - math.ceil(reach)), min(size, found[-1] + math.ceil(reach) + 1)))
    return window[0], window[1]


class _Region:
    """The part of the panel that the block can reach, and the places where it may stand."""

    def __init__(self, panel: Panel, window: tuple[slice, slice], where: np.ndarray, tool: Tool, force: float,
                 overhang: float, keep_off: float | None) -> None:  # fmt: skip
        shape = panel.shape
        self.cell, self.tool, self.force, self.overhang = shape.cell, tool, force, overhang
        self.x, self.y = shape.x[window[1]], shape.y[window[0]]
        self.form = shape.form[window]
        self.surface = panel.surface[window].copy()
        self.inside = (shape.inside & (panel.mask < 0.5))[window].astype(float)
        self.whole = bool(self.inside.all())
        self.where = where[window]
        self.forbidden = None if keep_off is None else _near_lines(shape, keep_off)[window].astype(float)
        rows, columns = np.flatnonzero(self.where.any(axis=1)), np.flatnonzero(self.where.any(axis=0))
        bounds = [(at[held[0]] - self.cell / 2, at[held[-1]] + self.cell / 2)
                  for at, held in ((self.x, columns), (self.y, rows))]  # fmt: skip
        self.bounds = {"x": bounds, "y": bounds[::-1]}
        self.crown = {"x": shape.crown, "y": shape.crown[::-1]}
        self.hand_bend = tool.bend(force)
        self.degree = _degree(tool)
        self.bending = tool.bending * tool.width * (2 / tool.length) ** 3 if self.degree > 1 else 0.0

    def press(self, axis: str, start: np.ndarray, places: int, stiffness: np.ndarray, hand: float,
              random: np.random.Generator) -> Press:  # fmt: skip
        """Lay the blocks on one lattice, their length along `axis`, and press; one of that many places in all."""
        flip = (lambda array: array) if axis == "x" else np.transpose
        coordinates = (self.x, self.y) if axis == "x" else (self.y, self.x)
        cells = [max(1, round(side / self.cell)) for side in (self.tool.length, self.tool.width)]
        bend = [_least(crown, most) for crown, most in zip(self.crown[axis], self.hand_bend, strict=True)]
        rolls = [abs(crown - bent) > 1e-6 for crown, bent in zip(self.crown[axis], bend, strict=True)]
        along, across = (
            along_axis(at, self.cell, count, self._first(start[n], at, self.bounds[axis][n], count, rolls[n]))
            for n, (at, count) in enumerate(zip(coordinates, cells, strict=True))
        )
        forces = self.force * self._allowed(flip, coordinates, along, across)
        if hand:
            forces = forces * np.exp(hand * random.standard_normal(forces.shape))
        lattice = Lattice(along, across, forces, self.cell)
        surface = flip(self.form + self.surface)
        if any(bend):
            surface = surface + 0.5 * bend[0] * _square(coordinates[0], along)
            surface += (0.5 * bend[1] * _square(coordinates[1], across))[:, None]
        springs = flip(stiffness * self.inside)
        laid = press(lattice, surface, springs, self.degree, self.bending)
        if rolls[0] and laid.blocks:
            curvature = abs(self.crown[axis][0] - bend[0])
            strip = float(crown_bearing.si(max(self.force / self.tool.area, 1.0), self.tool.length, 1 / curvature,
                                           self.tool.backing).contact_width)  # fmt: skip
            low, high = self.bounds[axis][0]
            spacing = min(high - low, cells[0] * self.cell) / places
            if spacing > max(strip / 2, self.cell):
                reach = curvature * spacing / 2 * (strip / 2 + spacing / 4)
                laid = _rolled(lattice, laid, reach, spacing / self.cell, springs)
        return laid._replace(pressure=flip(laid.pressure))

    def _first(self, start: float, coordinates: np.ndarray, bounds: tuple[float, float], count: int,
               rolling: bool) -> float:  # fmt: skip
        """Where one of the blocks begins; when the area is smaller than the block, so that it stands in the area.

        In full contact a block covers whole cells, or its pressure would stray; riding a strip it must not jump.
        """
        low, high = bounds
        size, edge = count * self.cell, coordinates[0] - self.cell / 2
        first = low + start * min(high - low, size) - size / 2 - edge
        return edge + (first if rolling else round(first / self.cell) * self.cell)

    def _allowed(self, flip: Callable[[np.ndarray], np.ndarray], coordinates: tuple[np.ndarray, np.ndarray],
                 along: Axis, across: Axis) -> np.ndarray:  # fmt: skip
        """Blocks whose middle lies in the area, that do not hang over too far nor touch a line to be kept off."""
        if self.whole:  # a rectangle: rows and columns apart
            rows, columns = (axis.under @ np.stack([np.ones_like(axis.local), axis.local], axis=1)
                             for axis in (across, along))  # fmt: skip
            under = np.outer(rows[:, 0], columns[:, 0])
            over = [np.outer(rows[:, 0], np.abs(columns[:, 1])), np.outer(np.abs(rows[:, 1]), columns[:, 0])]
        else:
            everywhere = np.ones((across.blocks, along.blocks))
            inside = Lattice(along, across, everywhere, self.cell).gathered(flip(self.inside))
            under, *over = (np.abs(np.einsum("vbu,v,u->b", inside, v, u)).reshape(everywhere.shape)
                            for v, u in ((across.local**0, along.local**0), (across.local**0, along.local),
                                         (across.local, along.local**0)))  # fmt: skip
        hangs = [shift / np.maximum(under, 1e-9) - 1 / len(axis.local)
                 for shift, axis in zip(over, (along, across), strict=True)]  # fmt: skip
        column, row = (np.clip(((axis.middles - at[0]) / self.cell + 0.5).astype(int), 0, len(at) - 1)
                       for axis, at in zip((along, across), coordinates, strict=True))  # fmt: skip
        allowed = (under > 0) & (np.maximum(*hangs) <= self.overhang) & flip(self.where)[np.ix_(row, column)]
        if self.forbidden is not None and allowed.any():
            at = Lattice(along, across, allowed.astype(float), self.cell)
            allowed[at.at] = ~(at.gathered(flip(self.forbidden)) > 0).any(axis=(0, 2))
        return allowed


def _square(coordinates: np.ndarray, axis: Axis) -> np.ndarray:
    """Square of the distance (m²) of every cell of the region from the middle of its block."""
    at = np.minimum((np.arange(axis.cells) + axis.before) // len(axis.local), axis.blocks - 1)
    return (coordinates - axis.middles[at]) ** 2


def _rolled(lattice: Lattice, laid: Press, reach: float, spacing: float, springs: np.ndarray) -> Press:
    """A block that rides a crown rolls on its way to the next place: its strip goes over what lies between.

    Between two places, `spacing` cells apart, it comes down to cells that at the place itself it misses by `reach`
    (m), the crown's drop.
    """
    n = laid.pressure.shape[1]
    sums = np.pad(np.cumsum(laid.pressure, axis=1), ((0, 0), (1, 0)))
    ends = np.clip(np.arange(n) + 0.5 + np.array([[-spacing / 2], [spacing / 2]]), 0, n)
    below = np.minimum(ends.astype(int), n - 1)
    upto = sums[:, below] + (sums[:, below + 1] - sums[:, below]) * (ends - below)
    mean = np.maximum(upto[:, 1] - upto[:, 0], 0) / spacing
    pressure = np.where((laid.gap > -reach) & (lattice.gathered(springs) > 0), lattice.gathered(mean), 0)
    return held(lattice, pressure, laid.gap)


def _degree(tool: Tool) -> int:
    """Degree of the face along the length: one for a rigid block, more the shorter the waves that a board follows."""
    follows = 2 * math.pi * tool.follows
    if follows == 0 or follows > MOST_FOLLOWED * tool.length:
        return 1
    return min(2 + round(2 * tool.length / follows), MOST_DEGREE)


def _least(crown: float, bend: float) -> float:
    return math.copysign(min(abs(crown), bend), crown)


@lru_cache(maxsize=16)
def _near_lines(shape: Shape, distance: float) -> np.ndarray:
    """Cells nearer than that to a body line, those on it included."""
    near = np.zeros(shape.form.shape, dtype=bool)
    for line in shape.lines:
        if line.kind == "body line":
            start, normal = line.points[0], line.normals[0]
            off = (shape.x - start[0]) * normal[0] + ((shape.y - start[1]) * normal[1])[:, None]
            near |= np.abs(off) < max(distance, 0) + 0.51 * shape.cell
    return near


def _after(panel: Panel, window: tuple[slice, slice], stack: Stack, work: np.ndarray, rates: np.ndarray,
           paper: Paper, sliding: float, tool: Tool) -> tuple[Panel, dict[str, float]]:  # fmt: skip
    """The panel with its layers cut, its sections cut and its marks left; what went by material, m³."""
    layers, removed = [], np.zeros(panel.dents.shape)
    gone: dict[str, float] = {}
    for layer, left in zip(panel.layers, stack.thickness(), strict=True):
        lost = layer.thickness[window] - left
        volume = float(lost.sum()) * panel.cell_area
        if volume == 0:
            layers.append(layer)
            continue
        thickness = layer.thickness.copy()
        thickness[window] = left
        thickness.setflags(write=False)
        layers.append(Layer(layer.material, thickness, layer.solvent, layer.laid_at))
        gone[layer.material] = gone.get(layer.material, 0.0) + volume
        removed[window] += lost
    whole_work = np.zeros(panel.dents.shape)
    whole_work[window] = work
    scratches = np.array([paper.scratch[layer.material] for layer in panel.layers])
    depth = np.zeros(panel.dents.shape)
    depth[window] = scratches[stack.top]
    pressure = whole_work / max(sliding, 1e-9)
    fields: dict[str, Any] = marked(panel, paper, removed, depth, pressure, tool.backing)
    sections = cut_sections(panel, whole_work, rates, sliding, tool.backing)
    return changed(panel, layers=tuple(layers), sections=sections, **fields), gone
