"""Sanding: a block pressed by a hand, place after place, cuts through the layers by Preston's law.

What is wanted is the limit of many short visits at places that differ: a real block is everywhere many times. At
each visit it is pressed on the surface as it then is (`panel.contact`), on many lattices of places that lie evenly,
and cuts k_p · mean pressure · sliding. How long a visit may be follows from what the last one cut more or less than
those before: that is what a visit misplaces in time and place. What is misplaced early is levelled by what follows,
so early visits may be longer; film that is through is not given back, so not by much. Within a visit the surface
gives way while the block stands on it: wear is a second spring in series with the backing. Edges, crowns, lows and
breakthrough come out of this and of nothing else.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any, TypedDict

import numpy as np

from coursekit.panel.marks import marked
from coursekit.panel.region import Region, StrayingHand
from coursekit.panel.sections import Sections, Visit
from coursekit.panel.stack import Stack
from coursekit.panel.state import (
    SECTION_REACH,
    Area,
    Panel,
    Section,
    Used,
    cells_of,
    changed,
    check,
    frozen,
    worked_area,
)
from coursekit.panel.tools import Paper, Tool
from coursekit.panel.worn import wearing, weight_of_now
from coursekit.quantities import InputError

STRAYS = 0.4e-6  # m, root mean square, what a visit may cut more or less than the mean of those before …
MEMORY = 4.0  # … and as much again for every so many times the backing's give that are still to go …
SHARE = 0.06  # … but no more than this of the whole
STRAYS_AT_A_LINE = 0.5e-6  # m, at the worst point across it
FIRST = 1.0  # of the mean removal: what the first visit is taken to stray
FASTER, SLOWER = 2.5, 0.5  # the most by which a visit is longer or shorter than the one before
TOGETHER, FEWEST = 16, 6  # lattices that are pressed on the same surface, each by itself …
FEWEST_AT_A_LINE = 24  # … where a line says how short a visit is: what bears there is narrower than a cell …
LONG = 0.1  # … all of them at a visit of so much of the whole
PREVIEW = 0.15  # as fine as the answer, and so many lattices, while a setting is being moved
ROUGHEST = 0.2  # of the whole: a visit of a preview is as long at least, however much goes
COARSEST = 0.1  # the least that a preview may be
FROM_VISIT_TO_VISIT = np.array([0.5698402909980532, 0.7548776662466927])  # multiples of these lie evenly in a square
MOST_OVERHANG = 0.45  # share of the block past the edge: at a half it tips off


@dataclass(frozen=True, repr=False, kw_only=True)
class Sanded(Used):
    """What sanding used, and how it was computed.

    mean_removed  m      film, over the area
    pieces        number of paper, changed when it cuts half as fast; nothing where nobody counts them
    preview       bool   roughly, for a picture while a setting is being moved
    visits, unbalance    of the solution
    """

    mean_removed: float
    pieces: float | None = None
    preview: bool = False
    visits: int
    unbalance: float


class Led(TypedDict, total=False):
    """How a tool is led over the panel, whatever drives it; `sand` has what holds when nothing is said.

    area      where the middle of the tool may stand
    overhang  share  of the tool that may hang over an edge, up to 0.45
    keep_off  m      from a body line, measured from the edge of the tool; None: it crosses the line
    hand      share  by which the force strays from place to place
    finer     times as many visits as the solution needs
    """

    area: Area
    overhang: float
    keep_off: float | None
    hand: float
    seed: int
    finer: float


class LedByHand(Led, total=False):
    """along  "x", "y", "cross"   direction of the strokes and of the block's length; cross: both in turn"""

    along: str


def sand(
    panel: Panel,
    act: str,
    *,
    tool: Tool,
    paper: Paper,
    force: float,
    sliding: float,
    time_per_travel: float,
    stroke_length: float = 0.0,
    along: str = "cross",
    area: Area = None,
    overhang: float = 0.4,
    keep_off: float | None = None,
    hand: float = 0.0,
    seed: int = 0,
    finer: float = 1.0,
) -> tuple[Panel, Sanded]:
    """Press and cut: what block, hand, machine and polisher have in common.

    sliding          m    of the paper over every place
    time_per_travel  s/m  of the tool's travel counted in block lengths laid end to end
    """
    check(
        force=(force, 0.1, 500),
        sliding=(sliding, 0, 1e5),
        overhang=(overhang, 0, MOST_OVERHANG),
        hand=(hand, 0, 0.5),
        finer=(finer, COARSEST, 64),
        keep_off=(keep_off or 0.0, -1, 1),
    )
    if along not in ("x", "y", "cross"):
        raise InputError("along", f"{along!r} is not a direction.", 'Choose "x", "y" or "cross".', kind="unknown")
    _sandable(panel, paper)
    where = cells_of(panel, area) & (panel.mask < 0.5)
    rates = np.array([paper.removal[layer.material] for layer in panel.layers])
    window = _window(where, max(tool.length, tool.width) / panel.cell / 2 + 1)
    stack = Stack(np.array([layer.thickness[window] for layer in panel.layers]), rates)
    led = StrayingHand(hand, seed) if hand else None
    region = Region(panel, window, where, tool, force, overhang, keep_off, led, area)
    sections = Sections(panel, window, rates, force / tool.area / tool.backing)
    rim = np.nonzero((region.bearing > 0) & (region.bearing < region.inside))
    region.surface[rim] += sections.rim(rim)
    straight = not 0 < tool.follows < SECTION_REACH["edge"]
    axes = ("x", "y") if along == "cross" else (along,)
    share = {axis: region.share(axis) for axis in axes}
    work, mean = np.zeros(region.surface.shape), np.zeros(region.surface.shape)
    whole = float(stack.rate[where[window]].mean()) * sliding * force / tool.area  # m, mean
    gives = whole * tool.backing * tool.area / force / MEMORY
    travel = force_travel = unbalance = done = 0.0
    # What the last visits strayed, along each axis.
    strays, at_lines = dict.fromkeys(axes, FIRST * whole / max(sliding, 1e-30)), dict.fromkeys(axes, 0.0)
    visit, step = 0, 0.0
    while done < sliding:
        allowed = min(STRAYS * (1 + gives * (1 - done / sliding)), SHARE * whole) / finer
        longest = allowed / max(*strays.values(), 1e-30)
        at_line = STRAYS_AT_A_LINE / finer / max(*at_lines.values(), 1e-30)
        fewest, longest = (FEWEST_AT_A_LINE, at_line) if at_line < longest else (FEWEST, longest)
        longest = min(max(longest, SLOWER * step), FASTER * step) if visit else longest
        if finer <= PREVIEW:
            longest = max(longest, ROUGHEST * sliding)
        step = (sliding - done) / math.ceil((sliding - done) / longest)
        axis = axes[visit % len(axes)]
        together = _together(step / sliding, fewest, min(finer, 1.0))
        if together == FEWEST_AT_A_LINE:  # evenly over it, or what bears on it alone is left to chance
            together = _even(together, region.places_across(axis))
        over = step * share[axis]
        stiffness = wearing(tool.backing, stack.rate * over * region.touched[axis])
        strips = sections.strips_of(axis, region.form + region.surface, region.bearing, tool.backing, over)
        laid = region.press(axis, *_places(visit // len(axes), together), stiffness, strips)
        strayed = sections.cut(Visit(laid, axis, panel.shape.crown, tool.backing, over, straight))
        spent = laid.pressure * over
        at_lines[axis] += (strayed - at_lines[axis]) * weight_of_now(max(visit // len(axes), 1))
        if visit:
            strays[axis] = _root_mean_square(stack.rate * (spent / step - mean), mean)
        mean += (laid.pressure * share[axis] - mean) * weight_of_now(visit + 1)
        region.sink(stack.cut(spent))
        work += spent
        travel += laid.blocks * over
        force_travel += laid.force * over
        unbalance = max(unbalance, laid.unbalance)
        done, visit = done + step if sliding - done > 1.5 * step else sliding, visit + 1
    new, removed = _after(panel, window, stack, work / max(sliding, 1e-9), sections.now(), paper, tool)
    seconds = travel * time_per_travel
    gone = {material: volume for material, volume in removed.items() if volume}
    used = Sanded(
        act=act,
        time=seconds,
        removed=gone,
        paper=paper.grade,
        paper_area=tool.area,
        travel=travel,
        strokes=travel / stroke_length if stroke_length else 0.0,
        force_travel=force_travel,
        visits=visit,
        unbalance=unbalance,
        preview=finer < 1,
        mean_removed=sum(gone.values()) / (worked_area(panel, area) or panel.cell_area),
    )
    return changed(new, time=panel.time + seconds), used


def sand_again(
    panel: Panel, tool: Tool, paper: Paper, force: float, then: tuple[Panel, Panel], used: Sanded
) -> tuple[Panel, Sanded] | None:
    """Sand as it was done then, with the same work on every cell: a preview, for which nothing is pressed.

    then  the panel before that sanding and after it, of the same form and with the same masks: or nothing is given
    used  what that sanding used
    """
    before, after = then
    if before.shape is not panel.shape or not np.array_equal(before.mask, panel.mask):
        return None
    _sandable(panel, paper)

    def rates(of: Panel) -> np.ndarray:
        return np.array([paper.removal[layer.material] for layer in of.layers])

    def spent(old: Iterable[np.ndarray], new: Iterable[np.ndarray]) -> np.ndarray:
        found: np.ndarray = sum(
            (was - now) / rate for was, now, rate in zip(old, new, rates(before), strict=True) if was is not now
        )
        return found

    work = spent(*([layer.thickness for layer in of.layers] for of in then))
    if not np.any(work):
        return None
    window = _window(work > 0, 0)
    stack = Stack(np.array([layer.thickness[window] for layer in panel.layers]), rates(panel))
    stack.cut(work[window])
    sections = list(panel.sections)
    for number, (now, *old) in enumerate(zip(sections, before.sections, after.sections, strict=False)):
        if old[0].thickness is not old[1].thickness and old[0].thickness.shape[1:] == now.thickness.shape[1:]:
            strip = Stack(now.thickness, rates(panel))
            strip.cut(spent(old[0].thickness, old[1].thickness))
            sections[number] = replace(now, thickness=frozen(strip.thickness()))
    pressed = np.where(work[window] > 0, force / tool.area, 0.0)
    new, removed = _after(panel, window, stack, pressed, tuple(sections), paper, tool)
    gone = {material: volume for material, volume in removed.items() if volume}
    mean = used.mean_removed * sum(gone.values()) / max(sum(used.removed.values()), 1e-30)
    return changed(new, time=panel.time + used.time), replace(used, removed=gone, preview=True, mean_removed=mean)


def _root_mean_square(values: np.ndarray, where: np.ndarray) -> float:
    """Of the values, over the cells where something bears."""
    return math.sqrt(float((values**2).sum()) / max(int(np.count_nonzero(where)), 1))


def _together(share: float, fewest: int, finer: float) -> int:
    """Lattices of a visit of that share of the whole: what its places leave uneven counts by its length."""
    wanted: float = TOGETHER * min(share / LONG, 1.0) ** (2 / 3)
    return math.ceil(max(wanted, fewest) * finer)


def _even(fewest: int, places: int) -> int:
    """How many lattices, at least so many, stand on those places (cells) all alike; so many, if that takes twice."""
    return next((n for n in range(fewest, 2 * fewest) if places % n == 0 or n % places == 0), fewest)


def _places(visit: int, together: int) -> tuple[np.ndarray, np.ndarray]:
    """Starts (lattices, 2) of a visit and how far (2,) all have wandered, in shares of the way to the next block.

    The starts of a visit lie evenly both along and across: a narrow strip of contact is laid evenly too. From visit
    to visit they wander on between each other, so that no place is left out, be it as narrow as a line.
    """
    skip = max(
        step for step in range(1, together + 1) if math.gcd(step, together) == 1 and step <= 0.4 * together + 1
    )
    number = np.arange(together)
    even = np.stack([number, number * skip % together], axis=1)
    between = (0.5 + visit * FROM_VISIT_TO_VISIT) % 1
    # Whole cells are not quite even: so the starts change places too.
    return even / together, (between + np.array([visit % together, 0])) / [together, 1]


def _sandable(panel: Panel, paper: Paper) -> None:
    for layer in panel.layers:
        if layer.solvent is not None and float(layer.solvent.max(initial=0)) > 0.02 * float(layer.wet.max(initial=0)):
            raise InputError(
                "panel", f"the {layer.material} is still wet.", "Let it dry before sanding it.", kind="state"
            )
        if not (paper.removal.get(layer.material, 0) > 0 and paper.scratch.get(layer.material, 0) >= 0):
            raise InputError(
                "paper",
                f"has no removal coefficient and scratch depth for {layer.material}.",
                "Give one for every material on the panel.",
                kind="not computed",
            )


def _window(where: np.ndarray, reach: float) -> tuple[slice, slice]:
    if not where.any():
        raise InputError(
            "area", "is masked or not on the panel.", "Take the mask off, or sand another area.", kind="state"
        )
    window = []
    for axis, size in ((1, where.shape[0]), (0, where.shape[1])):
        found = np.flatnonzero(where.any(axis=axis))
        window.append(slice(max(0, found[0] - math.ceil(reach)), min(size, found[-1] + math.ceil(reach) + 1)))
    return window[0], window[1]


def _after(
    panel: Panel,
    window: tuple[slice, slice],
    stack: Stack,
    pressed: np.ndarray,
    sections: tuple[Section, ...],
    paper: Paper,
    tool: Tool,
) -> tuple[Panel, dict[str, float]]:
    """The panel with its layers cut, its sections cut and its marks left; what went by material, m³.

    pressed  Pa  in the window, mean over the sliding
    """
    layers, removed = [], np.zeros(panel.dents.shape)
    gone: dict[str, float] = {}
    if ((stack.thickness()[0] <= 0) & panel.shape.inside[window]).any():
        raise InputError(
            "area", "is sanded through the sheet itself.", "Fewer strokes, less time or force.", kind="state"
        )
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
    pressure = np.zeros(panel.dents.shape)
    pressure[window] = pressed
    scratches = np.array([paper.scratch[layer.material] for layer in panel.layers])
    depth = np.zeros(panel.dents.shape)
    depth[window] = scratches[stack.top]
    fields: dict[str, Any] = marked(panel, paper, removed, depth, pressure, tool.backing)
    return changed(panel, layers=tuple(layers), sections=sections, **fields), gone
