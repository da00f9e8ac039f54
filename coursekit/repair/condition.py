"""What a panel is like over the repair, in a few figures: what shows, film, scratch, waves, dirt."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from coursekit.panel import Panel, Section, cells_of
from coursekit.panel.looks import LEAST_SEEN
from coursekit.panel.mirror import OVERSPRAY
from coursekit.panel.state import SECTION_STEP, SHEETS
from coursekit.sanding.showthrough import ARC_MINUTE

OLD_PAINT = ("old primer", "old base", "old clear")
# A wave shows when it turns the line of sight by an arc-minute: a slope of half of it, whatever its length.
STRICT_SLOPE = float(ARC_MINUTE) / 2
RING = 2e-3  # m across the edge of a film: a finer step shows no more than this one (assumed)
FEW = 0.05  # share of an area that counts as "here and there"


class Film(NamedTuple):
    """Film of one material over the repair, where the material lies at all: mean, the thinnest 5 %, least; m."""

    mean: float
    thin: float
    least: float


class Condition(NamedTuple):
    """Figures of one panel; area in m², the others over the repair area alone.

    shows          material → m² of the whole panel on which it lies on top; old paint as one
    film           material → Film
    scratch        m           depth of the scratches that 95 % of the repair stays under
    paper          ""          paper that left most of the scratches
    other_paper    share       of the repair with deeper scratches of another paper than that
    waves          number      slope that 95 % of the repair stays under, over what a strict eye sees; where the
                               recipe names a damage, the worse of the damage and of its worst side
    wavelength     m           from crest to crest, of the waves that make up most of that slope
    in_damage      number      the same slope inside the damage alone; nothing where the recipe names no damage
    on_rim         number      the same on the side of the damage where it is steepest; likewise
    side           ""          that side: above, below, left or right
    ring           number      the same of the steepest edge of a film that a tape left, over `RING` across it
    lines          line → material → m of its length on which that shows where it is opened deepest
    guide_coat     share       of the repair on which guide coat is left
    dirt, rubbed_in, dust  share   the most that lies anywhere on 95 % of the repair
    solvent        share       of the wet films that is still solvent
    """

    shows: Mapping[str, float]
    film: Mapping[str, Film]
    scratch: float
    paper: str
    other_paper: float
    waves: float
    wavelength: float
    in_damage: float | None
    on_rim: float | None
    side: str
    ring: float
    lines: Mapping[str, Mapping[str, float]]
    guide_coat: float
    dirt: float
    rubbed_in: float
    dust: float
    solvent: float

    @property
    def beside(self) -> bool:
        """Whether the worst waves sit beside the damage, not in it."""
        return self.on_rim is not None and self.on_rim > (self.in_damage or 0.0)


def plain(material: str) -> str:
    """The material in the trade's words: one old paint, bare metal."""
    if material in OLD_PAINT:
        return "old paint"
    return {"steel": "bare metal", "plastic": "bare plastic"}.get(material, material)


@lru_cache(maxsize=2)
def on_top(panel: Panel) -> np.ndarray:
    """Number of the layer on top, cell by cell; −1 off the panel. The last two are kept: each is asked for thrice."""
    index = panel.shape.inside.astype(np.int8) - 1
    for number, layer in enumerate(panel.layers[1:], 1):
        np.putmask(index, layer.meant(LEAST_SEEN) | (layer.thickness > OVERSPRAY), number)
    index.setflags(write=False)
    return index


@lru_cache(maxsize=4)
def meant_on_top(panel: Panel) -> np.ndarray:
    """As `on_top`, without overspray: film outside the area that its step aimed at."""
    index = panel.shape.inside.astype(np.int8) - 1
    for number, layer in enumerate(panel.layers[1:], 1):
        np.putmask(index, layer.meant(LEAST_SEEN), number)
    index.setflags(write=False)
    return index


def lowest_on_lines(panel: Panel, section: Section) -> np.ndarray:
    """Number of the layer that shows where a line is opened deepest, at each of its stations; no overspray."""
    seen = section.thickness > LEAST_SEEN
    for number, layer in enumerate(panel.layers):
        if layer.aimed is not None:
            seen[number] &= layer.aimed[section.at][:, None]
    seen[0] = True
    top = len(panel.layers) - 1 - seen[::-1].argmax(axis=0)
    return np.asarray(top.min(axis=1))


def bare_lines(panel: Panel) -> dict[str, dict[str, float]]:
    """Line → what shows where it is opened deepest → m of its length."""
    found: dict[str, dict[str, float]] = {}
    for section in panel.sections:
        if section.line.kind == "mask edge":
            continue
        lowest = lowest_on_lines(panel, section)
        each = section.line.length / len(lowest)
        shown: dict[str, float] = {}
        for number, stations in zip(*np.unique(lowest, return_counts=True), strict=True):
            name = plain(panel.layers[number].material)
            shown[name] = shown.get(name, 0.0) + float(stations) * each
        found[section.line.name] = shown
    return found


def areas(panel: Panel, index: np.ndarray) -> dict[str, float]:
    """Area (m²) on which each material lies on top, of the cells with that number of layer."""
    counts = np.bincount(index[index >= 0].ravel(), minlength=len(panel.layers))
    found: dict[str, float] = {}
    for layer, count in zip(panel.layers, counts, strict=True):
        if count:
            found[plain(layer.material)] = found.get(plain(layer.material), 0.0) + float(count) * panel.cell_area
    return found


def condition_of(
    panel: Panel,
    area: tuple[float, float, float, float] | None,
    before: tuple[Panel, Condition] | None = None,
    damage: tuple[float, float, float, float] | None = None,
) -> Condition:
    """The figures of a panel over its repair area, or over the whole of it.

    damage  where it was damaged: the waves there are told apart
    before  the panel it came from with its figures: those of arrays that were not touched are taken over
    """
    where = cells_of(panel, area)
    rows, columns = np.flatnonzero(where.any(axis=1)), np.flatnonzero(where.any(axis=0))
    window = slice(rows[0], rows[-1] + 1), slice(columns[0], columns[-1] + 1)
    inside = where[window]

    def over(values: np.ndarray) -> np.ndarray:
        found: np.ndarray = values[window][inside]
        return found

    def most_over(values: np.ndarray) -> float:
        return most(over(values)) if values.any() else 0.0

    whole = sum(float(la.wet.sum()) for la in panel.layers if la.solvent is not None) * panel.cell_area
    loose: dict[str, Any] = {
        "guide_coat": float((over(panel.guide_coat) > 0.5).mean()) if panel.guide_coat.any() else 0.0,
        "dirt": most_over(panel.contamination),
        "rubbed_in": most_over(panel.embedded),
        "dust": most_over(panel.dust),
        "solvent": panel.solvent_volume() / whole if whole else 0.0,
        "ring": before[1].ring if before and panel.sections is before[0].sections else _ring(panel),
    }
    if before is not None and _same_surface(panel, before[0]):
        return before[1]._replace(**loose)
    scratch, grades = over(panel.scratch), over(panel.scratch_grade)
    paper = int(np.bincount(grades[scratch > 0], minlength=1).argmax()) if (scratch > 0).any() else 0
    usual = float(np.median(scratch[grades == paper])) if paper else 0.0
    others = np.count_nonzero((grades != paper) & (scratch > 1.5 * usual)) / len(scratch) if paper else 0.0
    surface = panel.dents[window] + sum(layer.thickness[window] for layer in panel.layers)
    waves = _waves(surface, inside, panel.cell)
    in_damage, on_rim, side = waves.about(window, panel, damage)
    worst = waves.steep() if in_damage is None or on_rim is None else max(in_damage, on_rim)
    return Condition(
        areas(panel, on_top(panel)),
        _films(panel, over),
        most(scratch),
        panel.papers[paper] if paper else "",
        others,
        worst,
        waves.length,
        in_damage,
        on_rim,
        side,
        lines=bare_lines(panel),
        **loose,
    )


def _same_surface(panel: Panel, before: Panel) -> bool:
    if panel.scratch is not before.scratch or len(panel.layers) != len(before.layers):
        return False
    return all(new.thickness is old.thickness for new, old in zip(panel.layers, before.layers, strict=True))


def _films(panel: Panel, over: Callable[[np.ndarray], np.ndarray]) -> dict[str, Film]:
    found: dict[str, np.ndarray] = {}
    for layer in panel.layers:
        if layer.material not in SHEETS and layer.material not in OLD_PAINT:
            film = over(np.where(layer.meant(LEAST_SEEN), layer.thickness, 0.0))
            found[layer.material] = found[layer.material] + film if layer.material in found else film
    return {name: film_of(film) for name, film in found.items()}


def film_of(film: np.ndarray) -> Film:
    """Mean, thinnest 5 % and least of a film, over the cells where it was laid."""
    there = film[film > LEAST_SEEN]
    if not len(there):
        return Film(0.0, 0.0, 0.0)
    return Film(float(there.mean()), share_under(there, FEW), float(there.min()))


def share_under(values: np.ndarray, share: float) -> float:
    """The value that a share of the values stays under; the nearest one, not between two."""
    place = min(int(share * len(values)), len(values) - 1)
    return float(np.partition(values, place)[place])


def most(values: np.ndarray) -> float:
    """The value that all but a few stay under."""
    return share_under(values, 1 - FEW)


class _Waves(NamedTuple):
    """Squared slopes of what departs from the form, the cells where they are known, the usual length of the waves."""

    square: np.ndarray
    known: np.ndarray
    length: float

    def steep(self, where: np.ndarray | None = None) -> float:
        """Slope that 95 % of the cells stay under, over the strict eye's."""
        values = self.square[self.known if where is None else self.known & where]
        return float(np.sqrt(most(values))) / STRICT_SLOPE if len(values) else 0.0

    def about(
        self, window: tuple[slice, slice], panel: Panel, damage: tuple[float, float, float, float] | None
    ) -> tuple[float | None, float | None, str]:
        """The slope in the damage, the largest on a side of it, and that side."""
        if damage is None or not self.square.size:
            return None, None, ""
        x, y = (axis[at][1:-1] for axis, at in ((panel.shape.x, window[1]), (panel.shape.y, window[0])))
        below, above = y < damage[2], y > damage[3]
        left, right = x < damage[0], x > damage[1]
        beside = ~(below | above)[:, None]
        sides = {"below": below[:, None], "above": above[:, None], "left": beside & left, "right": beside & right}
        found = {side: self.steep(where) for side, where in sides.items()}
        worst = max(found, key=lambda side: found[side])
        return self.steep(beside & ~(left | right)), found[worst], worst


def _waves(surface: np.ndarray, inside: np.ndarray, cell: float) -> _Waves:
    if min(surface.shape) < 3:
        return _Waves(np.zeros((0, 0)), np.zeros((0, 0), dtype=bool), 0.0)
    along, across = (surface[1:-1, 2:] - surface[1:-1, :-2]), (surface[2:, 1:-1] - surface[:-2, 1:-1])
    whole = inside[1:-1, 2:] & inside[1:-1, :-2] & inside[2:, 1:-1] & inside[:-2, 1:-1]
    square = (along**2 + across**2) / (4 * cell**2)
    mean = float(square[whole].mean()) if whole.any() else 0.0
    height = float(surface[inside].std())
    return _Waves(square, whole, 2 * np.pi * height / np.sqrt(mean) if mean > 0 else 0.0)


def _ring(panel: Panel) -> float:
    """Slope of the steepest edge that a tape left, at all but a few of its stations, over the strict eye's."""
    wide, worst = round(RING / SECTION_STEP), 0.0
    for section in panel.sections:
        if section.line.kind == "mask edge" and section.share.min() >= 1:
            height = section.thickness.sum(axis=0)
            steepest = np.abs(height[:, wide:] - height[:, :-wide]).max(axis=1)
            worst = max(worst, most(steepest) / RING)
    return worst / STRICT_SLOPE
