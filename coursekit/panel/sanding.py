"""Sanding: a block pressed by a hand, place after place, cuts through the layers by Preston's law.

The block visits the region again and again, each time on another lattice of places; at each visit it is pressed
on the surface as it then is (`panel.contact`) and cuts k_p · pressure · sliding. Within one visit the surface
gives way while the block stands on it: wear is a second spring in series with the backing, so a visit may be
long without digging its own outline. Edges, crowns, lows and breakthrough come out of this and of nothing else.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np

from coursekit.panel.marks import marked
from coursekit.panel.region import Region
from coursekit.panel.sections import Sections, Visit
from coursekit.panel.stack import Stack
from coursekit.panel.state import Area, Panel, Used, cells_of, changed, check
from coursekit.panel.tools import Paper, Tool
from coursekit.quantities import InputError

FEWEST_VISITS = 8
MOST_VISITS = 16, 64  # between these the longer the block the more: its places lie further apart
APART = {"bends": 15e-3, "rigid": 4.5e-3}  # m: what a bending board bears on is longer
PLACES_AT_A_LINE = (16, 32, 9e-3)  # along each axis: fewest, most, and m apart; few of them bear on it
REMOVED_AT_A_LINE = 0.15e-6  # m, mean, for one visit
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
    region = Region(panel, window, where, tool, force, overhang, keep_off)
    sections = Sections(panel, window, rates, tool)
    work = np.zeros(region.surface.shape)
    axes = ("x", "y") if along == "cross" else (along,)
    cuts = float(stack.rate[where[window]].mean()) * sliding  # m/Pa
    visits = _visits(tool, force, cuts)
    if _stands_on_a_line(panel, where, keep_off):
        visits = _visits_at_a_line(tool, force, cuts, visits, len(axes))
    visits = max(2, math.ceil(visits * finer))
    step = sliding / visits
    random = np.random.default_rng(seed)
    places = {axis: _places(-(-visits // len(axes)), random) for axis in axes}
    ways = {axis: region.stands_for(axis, starts) for axis, starts in places.items()}
    stiffness = _stiffness(tool.backing, rates * step)
    travel = force_travel = unbalance = 0.0
    for visit in range(visits):
        axis = axes[visit % len(axes)]
        start = places[axis][visit // len(axes)]
        laid = region.press(axis, start, len(places[axis]), stiffness[stack.top], hand, random)
        spent = laid.pressure * step
        sections.cut(Visit(laid, axis == "y", len(places[axis]), region.stands_over(axis), stiffness, step,
                           ways[axis][visit // len(axes)]))  # fmt: skip
        region.surface -= stack.cut(spent)
        work += spent
        travel += laid.blocks * step
        force_travel += laid.force * step
        unbalance = max(unbalance, laid.unbalance)
    new, removed = _after(panel, window, stack, work, sections, paper, sliding, tool)
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


def _stands_on_a_line(panel: Panel, where: np.ndarray, keep_off: float | None) -> bool:
    """Whether the middle of the block comes over a body line or an edge of the panel."""
    kinds = ("edge",) if keep_off is not None else ("edge", "body line")
    return any(where[section.at].any() for section in panel.sections if section.line.kind in kinds)


def _visits(tool: Tool, force: float, cuts: float) -> float:
    """As many as the removal and the wear over the backing's own give ask for; it cuts that much per pressure."""
    wanted = max(cuts * force / tool.area / REMOVED_PER_VISIT, cuts * tool.backing / WEAR_PER_VISIT, FEWEST_VISITS)
    low, high = MOST_VISITS
    apart = APART["rigid" if math.isinf(tool.bending) else "bends"]
    return min(wanted, max(low, min(high, tool.length / apart)))


def _visits_at_a_line(tool: Tool, force: float, cuts: float, visits: float, axes: int) -> float:
    """More than on the flat, unless next to nothing goes: only a few places of the block bear on a line."""
    fewest, most, apart = PLACES_AT_A_LINE
    wanted = max(min(max(tool.length / apart, fewest), most), visits / axes) * axes
    return max(visits, min(wanted, cuts * force / tool.area / REMOVED_AT_A_LINE))


def _window(where: np.ndarray, reach: float) -> tuple[slice, slice]:
    if not where.any():
        raise InputError("area", "is masked or not on the panel.", "Take the mask off, or sand another area.")
    window = []
    for axis, size in ((1, where.shape[0]), (0, where.shape[1])):
        found = np.flatnonzero(where.any(axis=axis))
        window.append(slice(max(0, found[0] - math.ceil(reach)), min(size, found[-1] + math.ceil(reach) + 1)))
    return window[0], window[1]


def _after(panel: Panel, window: tuple[slice, slice], stack: Stack, work: np.ndarray, sections: Sections,
           paper: Paper, sliding: float, tool: Tool) -> tuple[Panel, dict[str, float]]:  # fmt: skip
    """The panel with its layers cut, its sections cut and its marks left; what went by material, m³."""
    layers, removed = [], np.zeros(panel.dents.shape)
    gone: dict[str, float] = {}
    if ((stack.thickness()[0] <= 0) & panel.shape.inside[window]).any():
        raise InputError("area", "is sanded through the sheet itself.", "Fewer strokes, less time or force.")
    for layer, left in zip(panel.layers, stack.thickness(), strict=True):
        lost = layer.thickness[window] - left
        volume = float(lost.sum()) * panel.cell_area
        if volume == 0:
            layers.append(layer)
            continue
        thickness = layer.thickness.copy()
        thickness[window] = left
        thickness.setflags(write=False)
        layers.append(replace(layer, thickness=thickness))
        gone[layer.material] = gone.get(layer.material, 0.0) + volume
        removed[window] += lost
    whole_work = np.zeros(panel.dents.shape)
    whole_work[window] = work
    scratches = np.array([paper.scratch[layer.material] for layer in panel.layers])
    depth = np.zeros(panel.dents.shape)
    depth[window] = scratches[stack.top]
    pressure = whole_work / max(sliding, 1e-9)
    fields: dict[str, Any] = marked(panel, paper, removed, depth, pressure, tool.backing)
    return changed(panel, layers=tuple(layers), sections=sections.now(), **fields), gone
