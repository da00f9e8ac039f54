"""The computed panel: what lies on the sheet and what can be seen of it, cell by cell, in SI.

A panel is never changed: every act gives a new one that shares the arrays it did not touch, and those arrays
are read-only. Volumes of solids are volumes of dry film; volumes of solvent are volumes of liquid: both are
conserved by every act, each by itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

import numpy as np

from coursekit.panel.shapes import Line, Shape
from coursekit.quantities import InputError, in_range
from coursekit.results import Fields

TEXTURE_BANDS = ((0.1e-3, 0.3e-3), (0.3e-3, 1e-3), (1e-3, 3e-3), (3e-3, 10e-3))  # m; longer waves are on the grid
SHEETS = ("steel", "plastic")
MATERIALS = (*SHEETS, "old primer", "old base", "old clear", "filler", "epoxy primer", "surfacer", "base", "clear")
SECTION_STEP = 0.1e-3
SECTION_REACH = {"body line": 10e-3, "edge": 10e-3, "mask edge": 20e-3}  # m to each side


@dataclass(frozen=True, eq=False, repr=False)
class Layer(Fields):
    """One material on the panel: dry thickness (m), liquid solvent still in it (m), when it was laid (s).

    aimed  cells where it was meant to be; elsewhere it is overspray. None: wherever it lies
    """

    material: str
    thickness: np.ndarray
    solvent: np.ndarray | None = None
    laid_at: float = 0.0
    aimed: np.ndarray | None = None

    def meant(self, least: float) -> np.ndarray:
        """Cells where it lies thicker than that as a coat, not as overspray."""
        there = self.thickness > least
        return there if self.aimed is None else there & self.aimed

    @property
    def wet(self) -> np.ndarray:
        """Thickness with the solvent still in it, m."""
        return self.thickness if self.solvent is None else self.thickness + self.solvent


@dataclass(frozen=True, eq=False, repr=False)
class Section(Fields):
    """What is finer than the grid across a line: the layers at each station, at steps of 0.1 mm.

    at         rows, columns    of the panel's cell at each station
    across     (n,) m           coordinate across the line; at an edge zero is the panel's rim
    profile    (n,) m           height of the bare sheet over the flat
    share      (n,)             of the film outside that a mask's edge lets through here
    thickness  (layers, stations, n) m   from the sheet up, parallel to the panel's layers
    """

    line: Line
    at: tuple[np.ndarray, np.ndarray]
    across: np.ndarray
    profile: np.ndarray
    share: np.ndarray
    thickness: np.ndarray

    def with_film(self, film: np.ndarray, merge: bool) -> Section:
        """The section with a film (stations, n) on top: in the topmost layer, or as a new one."""
        below, top = (self.thickness[:-1], self.thickness[-1] + film) if merge else (self.thickness, film)
        return replace(self, thickness=frozen(np.concatenate([below, top[None]])))


@dataclass(frozen=True, eq=False, repr=False)
class Panel(Fields):
    """Everything the course knows of a panel; arrays are (ny, nx).

    dents          m       height of the sheet over its form: dents and waves below zero, high spots above
    layers         …       from the sheet up
    scratch        m       depth of the scratches on what shows
    scratch_grade  index   of the paper they come from in `papers`
    texture        m       amplitude of what is too fine for the grid: one array per band of TEXTURE_BANDS
    guide_coat     0 to 1  share of the guide coat left
    contamination  0 to 1  wax, silicone, grease on the surface
    embedded       0 to 1  the same, rubbed into scratches
    dust           0 to 1  sanding dust lying on it
    mask           0 to 1  share covered
    """

    shape: Shape
    dents: np.ndarray
    layers: tuple[Layer, ...]
    scratch: np.ndarray
    scratch_grade: np.ndarray
    papers: tuple[str, ...]
    texture: tuple[np.ndarray, ...]
    guide_coat: np.ndarray
    contamination: np.ndarray
    embedded: np.ndarray
    dust: np.ndarray
    mask: np.ndarray
    sections: tuple[Section, ...] = ()
    time: float = 0.0

    @property
    def cell(self) -> float:
        """Side of a cell, m."""
        return self.shape.cell

    @property
    def cell_area(self) -> float:
        """Area of a cell, m²."""
        return self.shape.cell**2

    @property
    def surface(self) -> np.ndarray:
        """Height of the surface over the form, m: dents, wear of the sheet and every layer on it."""
        return self.dents - self.shape.sheet_thickness + sum(layer.thickness for layer in self.layers)

    def film(self, *materials: str) -> np.ndarray:
        """Dry film (m) of the named materials, or of all but the sheet."""
        wanted = materials or MATERIALS[len(SHEETS) :]
        return sum((layer.thickness for layer in self.layers if layer.material in wanted), np.zeros_like(self.dents))

    def volume(self, *materials: str) -> float:
        """Solids of those materials on the panel, m³."""
        return float(self.film(*materials).sum()) * self.cell_area

    def solvent_volume(self) -> float:
        """Solvent still in the films, m³."""
        return sum(float(la.solvent.sum()) for la in self.layers if la.solvent is not None) * self.cell_area


class Solids(NamedTuple):
    """Solids of a film, m³ of dry film: what was laid, and where it went, which comes to as much."""

    laid: float = 0.0  # sprayed or spread
    panel: float = 0.0
    masks: float = 0.0
    past_edge: float = 0.0
    settling: float = 0.0
    airborne: float = 0.0

    @property
    def landed(self) -> float:
        """Share of what was laid that is on the panel; nothing of nothing."""
        return self.panel / self.laid if self.laid else 0.0

    @property
    def places(self) -> dict[str, float]:
        """Where it went, without what was laid."""
        return dict(zip(self._fields[1:], self[1:], strict=True))

    def __str__(self) -> str:
        return _told(self)


class Solvent(NamedTuple):
    """Solvent, m³ of liquid: left in the films before and sprayed, and where it is after, which comes to as much."""

    left: float = 0.0
    sprayed: float = 0.0
    panel: float = 0.0
    air: float = 0.0
    in_flight: float = 0.0
    with_missed: float = 0.0

    @property
    def evaporated(self) -> float:
        """From the films, in flight and with the paint that missed."""
        return self.air + self.in_flight + self.with_missed

    def __str__(self) -> str:
        return _told(self)


def _told(account: Solids | Solvent) -> str:
    named = (f"{name} {value:.3g}" for name, value in zip(account._fields, account, strict=True) if value)
    return ", ".join(named) or "none"


@dataclass(frozen=True, repr=False)
class Used(Fields):
    """What an act took: material by place (m³), time (s), strokes, paper, and what was removed.

    removed      material -> m³ of solids that became dust
    force_travel N·m     force times travel of the block, which ∬ dz/k_p dA equals
    """

    act: str
    time: float = 0.0
    solids: Solids = field(default_factory=Solids)
    solvent: Solvent = field(default_factory=Solvent)
    removed: Mapping[str, float] = field(default_factory=dict)
    paper: str = ""
    paper_area: float = 0.0
    strokes: float = 0.0
    travel: float = 0.0
    force_travel: float = 0.0


def check(**limits: tuple[float, float, float]) -> None:
    """Refuse the first setting, given as (value, low, high) in SI, that is not a number between low and high."""
    for argument, (value, low, high) in limits.items():
        try:
            if low <= value <= high:
                continue
            wrong = float(value) == float(value)
        except (TypeError, ValueError):
            wrong = False
        if wrong:
            in_range(argument, value, low, high)
        else:
            raise InputError(argument, "is not a number.", f"Give {low:g} to {high:g} in SI units.", kind="form")


def frozen(array: np.ndarray) -> np.ndarray:
    """The same array, read-only."""
    array.setflags(write=False)
    return array


def changed(panel: Panel, **fields: Any) -> Panel:
    """A new panel with those fields; their arrays become read-only."""
    for value in fields.values():
        if isinstance(value, np.ndarray):
            value.setflags(write=False)
    return replace(panel, **fields)


def section_of(shape: Shape, line: Line, layers: int) -> Section:
    """An empty section across a line."""
    reach = SECTION_REACH[line.kind]
    end, inward = (0.0, shape.cell / 2) if line.kind == "edge" else (reach, 0.0)
    count = round((end + reach) / SECTION_STEP)
    across = frozen(-reach + (np.arange(count) + 0.5) * SECTION_STEP)
    columns, rows = ((line.points - inward * line.normals) / shape.cell).astype(int).T
    ny, nx = shape.form.shape
    at = np.clip(rows, 0, ny - 1), np.clip(columns, 0, nx - 1)
    return Section(
        line,
        at,
        across,
        frozen(line.profile(across)),
        frozen(np.ones(count)),
        frozen(np.zeros((layers, len(line.points), count))),
    )


def sheet_metal(
    shape: Shape,
    *,
    dents: np.ndarray | float = 0.0,
    coats: tuple[tuple[str, float], ...] = (),
    contamination: float = 1.0,
    texture: float = 0.0,
) -> Panel:
    """A panel as it stands in the garage: its sheet, dents (m) and the even coats already on it.

    coats          ((material, thickness m), …) from the sheet up
    contamination  0 to 1  an unwashed panel is 1
    texture        m       orange peel of the old paint, in the band 1 to 3 mm and the next
    """
    if shape.sheet not in SHEETS:
        raise InputError(
            "sheet", f"{shape.sheet!r} is not a sheet.", "Choose from: " + ", ".join(SHEETS) + ".", kind="unknown"
        )
    for material, _ in coats:
        known_material(material)
    zero, inside = np.zeros(shape.form.shape), shape.inside.astype(float)
    stack = [(shape.sheet, shape.sheet_thickness), *coats]
    layers = tuple(Layer(material, frozen(thickness * inside)) for material, thickness in stack)
    sections = []
    for line in shape.lines:
        empty = section_of(shape, line, len(stack))
        thickness = np.array([t for _, t in stack])[:, None, None] + np.zeros_like(empty.thickness)
        sections.append(replace(empty, thickness=frozen(thickness)))
    peel = frozen(texture * inside)
    return Panel(
        shape=shape,
        dents=frozen(np.broadcast_to(np.asarray(dents, dtype=float), zero.shape) * inside),
        layers=layers,
        scratch=frozen(zero),
        scratch_grade=frozen(np.zeros(zero.shape, dtype=np.int16)),
        papers=("none",),
        texture=tuple(peel if low >= 1e-3 else zero for low, _ in TEXTURE_BANDS),
        guide_coat=zero,
        contamination=frozen(contamination * inside),
        embedded=zero,
        dust=zero,
        mask=zero,
        sections=tuple(sections),
    )


def known_material(material: str) -> str:
    """The material, or an error that names those there are."""
    if material not in MATERIALS:
        raise InputError(
            "material",
            f"{material!r} is not a material of the panel.",
            "Choose from: " + ", ".join(MATERIALS) + ".",
            kind="unknown",
        )
    return material


Area = tuple[float, float, float, float] | np.ndarray | None


def cells_of(panel: Panel, area: Area) -> np.ndarray:
    """Which cells of the panel lie in an area: all of it (None), a rectangle x0, x1, y0, y1 (m), or a mask."""
    inside = panel.shape.inside
    if area is None:
        return inside
    if isinstance(area, np.ndarray):
        if area.shape != inside.shape:
            raise InputError(
                "area", "does not have the shape of the panel's grid.", f"Give {inside.shape} cells.", kind="list"
            )
        return inside & (area > 0.5)
    try:
        x0, x1, y0, y1 = (float(end) for end in area)
    except (TypeError, ValueError):
        raise InputError("area", "is not a rectangle.", "Give x0, x1, y0, y1 in metres.", kind="form") from None
    x, y = panel.shape.x, panel.shape.y
    found: np.ndarray = inside & ((x >= x0) & (x <= x1)) & ((y >= y0) & (y <= y1))[:, None]
    if not found.any():
        raise InputError(
            "area",
            "does not touch the panel.",
            panel.shape.how_large,
            kind="place",
        )
    return found


Sides = tuple[float, float] | None  # where an area begins and ends along one axis, m


def sides_of(area: Area) -> tuple[Sides, Sides]:
    """Where a rectangle begins and ends along x and along y; nothing for what is no rectangle."""
    if area is None or isinstance(area, np.ndarray):
        return None, None
    x0, x1, y0, y1 = area
    return (x0, x1), (y0, y1)


def borders(outer: np.ndarray, cell: float, sides: Sides) -> tuple[float, float]:
    """Where cells with those first and last middles end (m): at the own side of a rectangle that cuts them."""
    ends = float(outer[0]) - cell / 2, float(outer[1]) + cell / 2
    if sides is None:
        return ends
    cut = [side if abs(side - end) < cell / 2 + 1e-9 else end for side, end in zip(sides, ends, strict=True)]
    return cut[0], cut[1]


def worked_area(panel: Panel, area: Area) -> float:
    """What of an area lies bare on the panel (m²): cells that its border cuts count by their share of it."""
    return float(share_of(panel, area)[panel.mask < 0.5].sum()) * panel.cell_area


def to_ends(panel: Panel, area: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    """A rectangle whose sides reach the panel's ends where they come within half a cell of them.

    A panel's sides need not be whole cells: its grid ends up to half a cell before them or past them.
    """
    ends = (side for size in panel.shape.size for side in (0.0, size))
    x0, x1, y0, y1 = (
        end if abs(side - end) < 0.5001 * panel.cell else float(side) for side, end in zip(area, ends, strict=True)
    )
    return x0, x1, y0, y1


def share_of(panel: Panel, area: Area) -> np.ndarray:
    """Share of each cell of the panel that lies in an area: a rectangle need not end where a cell does."""
    where = cells_of(panel, area)
    if area is None or isinstance(area, np.ndarray):
        return where.astype(float)
    x0, x1, y0, y1 = to_ends(panel, area)
    columns, rows = (
        np.clip(np.minimum(at + panel.cell / 2, high) - np.maximum(at - panel.cell / 2, low), 0, panel.cell)
        for at, low, high in ((panel.shape.x, x0, x1), (panel.shape.y, y0, y1))
    )
    found: np.ndarray = panel.shape.inside_share * np.round(np.outer(rows, columns) / panel.cell_area, 9)
    return found
