"""The sheet's own form, on a grid, with its edges and body lines: a test card, and the panels of a car.

Sizes, crowns and lines of the panels are invented and typical (assumed): a learner gives those of the own panel.

Heights are metres along the outward normal of the middle of the panel; x runs along the car, y upwards.
A crown is given as curvature (1/m, convex positive). What is finer than the grid – the radius of a body line
or of a folded edge – stands in `Line` and is worked as a 1-D section (`panel.sections`).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

import numpy as np

from coursekit.errors import InUnits, Words
from coursekit.quantities import InputError, in_range
from coursekit.results import Fields

CELL = 5e-3
STATION_PITCH = 40e-3  # sections stand about this far apart along a line
LEAST_MARGIN = 40e-3  # m from a body line or a wheel arch to the panel's edges
MOST_SIDE = 10.0  # m


@dataclass(frozen=True, eq=False, repr=False)
class Line(Fields):
    """A body line, a folded edge or the edge of a mask: stations along it and what is finer than the grid.

    points   (n, 2) m       x, y of the stations
    normals  (n, 2)         unit vectors across the line; at an edge they point off the panel
    radius   m              of the ridge or the fold
    turn     rad            by which the sheet turns at a body line
    """

    name: str
    kind: str  # "body line", "edge", "mask edge"
    points: np.ndarray
    normals: np.ndarray
    radius: float = 0.0
    turn: float = 0.0

    @property
    def length(self) -> float:
        """Length the stations stand for."""
        steps = np.hypot(*np.diff(self.points, axis=0).T)
        return float(steps.sum() * len(self.points) / max(len(self.points) - 1, 1)) if len(steps) else 0.0

    def folded(self, give: float) -> float:
        """Width (m) at an edge that bears nothing of a backing that yields by `give`: it touches √(2 r give) of the
        fold, two thirds as hard as the flat."""
        return max(self.radius - 2 / 3 * math.sqrt(2 * self.radius * give), 0.0) if self.kind == "edge" else 0.0

    def profile(self, across: np.ndarray) -> np.ndarray:
        """Height (m) over the flat along the coordinate across the line (m)."""
        if self.kind == "body line":
            return ridge(across, self.radius, self.turn)
        if self.kind == "edge":
            into_fold = np.clip(across + self.radius, 0, self.radius)
            return -(self.radius - np.sqrt(self.radius**2 - into_fold**2))
        return np.zeros_like(across)


def ridge(across: np.ndarray, radius: float, turn: float) -> np.ndarray:
    """Height of two flanks that meet at an angle with a rounded top: a hyperbola of that radius at its top."""
    slope = math.tan(turn / 2)
    width = radius * slope
    return -slope * (np.sqrt(np.asarray(across) ** 2 + width**2) - width)


@dataclass(frozen=True, eq=False, repr=False)
class Shape(Fields):
    """A panel's form on its grid: arrays (ny, nx), row 0 at the bottom."""

    name: str
    cell: float
    form: np.ndarray
    inside: np.ndarray
    crown: tuple[float, float] = (0.0, 0.0)  # curvature along x and along y, 1/m
    lines: tuple[Line, ...] = ()
    sheet: str = "steel"
    sheet_thickness: float = 0.8e-3
    inside_share: np.ndarray = field(init=False)
    x: np.ndarray = field(init=False)
    y: np.ndarray = field(init=False)

    def __post_init__(self) -> None:
        ny, nx = self.form.shape
        object.__setattr__(self, "x", (np.arange(nx) + 0.5) * self.cell)
        object.__setattr__(self, "y", (np.arange(ny) + 0.5) * self.cell)
        object.__setattr__(self, "inside_share", self.inside.astype(float))
        for array in (self.form, self.inside_share, self.inside, self.x, self.y):
            array.setflags(write=False)

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the bounding rectangle, m."""
        ny, nx = self.form.shape
        return nx * self.cell, ny * self.cell

    @property
    def how_large(self) -> Words:
        """Its size in words, for who named a place off it."""
        width, height = self.size
        return (
            "The panel is ",
            InUnits(width, "panel_width"),
            " wide and ",
            InUnits(height, "panel_height"),
            " high.",
        )

    @property
    def area(self) -> float:
        """Area of the panel, m²."""
        return float(np.count_nonzero(self.inside)) * self.cell**2


@lru_cache(maxsize=32)
def bearing_share(shape: Shape, give: float) -> np.ndarray:
    """Share of each cell that lies on the panel and not in a fold, for a backing that yields by `give` (m)."""
    share = shape.inside_share.copy()
    for line, into in _inwards(shape):
        share *= np.clip((into - line.folded(give)) / shape.cell + 0.5, 0, 1)
    share.setflags(write=False)
    return share


@lru_cache(maxsize=8)
def _inwards(shape: Shape) -> tuple[tuple[Line, np.ndarray], ...]:
    """The edges of a panel, and how far (m) inwards of each its cells lie."""
    places, found = np.stack(np.meshgrid(shape.x, shape.y), axis=-1), []
    for line in shape.lines:
        if line.kind != "edge":
            continue
        near = line.points if (line.normals != line.normals[0]).any() else line.points[:1]
        apart = places[:, :, None] - near
        nearest = (apart**2).sum(axis=-1).argmin(axis=-1)
        apart = np.take_along_axis(apart, nearest[:, :, None, None], axis=2)[:, :, 0]
        found.append((line, -(apart * line.normals[nearest]).sum(axis=-1)))
    return tuple(found)


def _grid(width: float, height: float, cell: float) -> tuple[np.ndarray, np.ndarray]:
    in_range("cell", cell, 0.2e-3, 20e-3)
    for argument, length in (("width", width), ("height", height)):
        _fits(argument, length, 4 * cell, MOST_SIDE, "Give the sides of the panel that is repaired.")
    nx, ny = round(width / cell), round(height / cell)
    if nx * ny > 4_000_000:
        raise InputError("cell", "makes a grid of more than four million cells.", "Take a larger cell.", kind="count")
    return np.meshgrid((np.arange(nx) + 0.5) * cell, (np.arange(ny) + 0.5) * cell)


def _fits(argument: str, length: float, low: float, high: float, remedy: str) -> None:
    if not low <= length <= high:
        raise InputError(
            argument,
            f"{1e3 * length:.4g} mm does not fit; {1e3 * low:.0f} to {1e3 * high:.0f} mm do.",
            remedy,
            kind="place",
        )


def _crowned(x: np.ndarray, y: np.ndarray, width: float, height: float, crown: tuple[float, float]) -> np.ndarray:
    for argument, side, curvature in (("radius_along", width, crown[0]), ("radius_up", height, crown[1])):
        if abs(curvature) * side > 1:
            raise InputError(
                argument,
                f"is less than the panel's {side:.3g} m that way.",
                "A crown is gentle: its radius is at least the side it runs along.",
                kind="place",
            )
    return -0.5 * crown[0] * (x - width / 2) ** 2 - 0.5 * crown[1] * (y - height / 2) ** 2


def _straight(
    name: str,
    kind: str,
    start: tuple[float, float],
    end: tuple[float, float],
    normal: tuple[float, float],
    radius: float = 0.0,
    turn: float = 0.0,
) -> Line:
    length = math.dist(start, end)
    count = max(2, round(length / STATION_PITCH))
    along = (np.arange(count) + 0.5) / count
    points = np.outer(1 - along, start) + np.outer(along, end)
    return Line(name, kind, points, np.tile(np.array(normal, dtype=float), (count, 1)), radius, turn)


USUAL_EDGES = ("front edge", "rear edge", "bottom edge", "top edge")
EDGES = {  # as they lie in a drawing: at its left, its right, below, above
    "bonnet": ("front edge", "rear edge", "left edge", "right edge"),
    "roof": ("front edge", "rear edge", "left edge", "right edge"),
    "tailgate": ("left edge", "right edge", "bottom edge", "top edge"),
    "bumper": ("left edge", "right edge", "bottom edge", "top edge"),
}


def edges_of(kind: str) -> tuple[str, str, str, str]:
    """What the trade calls the edges of a panel: at the left of its drawing, at the right, below and above."""
    return EDGES.get(kind, USUAL_EDGES)


def _edges(width: float, height: float, radius: float) -> dict[str, Line]:
    return {
        "bottom edge": _straight("bottom edge", "edge", (0, 0), (width, 0), (0, -1), radius),
        "top edge": _straight("top edge", "edge", (0, height), (width, height), (0, 1), radius),
        "front edge": _straight("front edge", "edge", (0, 0), (0, height), (-1, 0), radius),
        "rear edge": _straight("rear edge", "edge", (width, 0), (width, height), (1, 0), radius),
    }


def test_card(
    width: float = 0.30, height: float = 0.20, cell: float = CELL, *, crown: tuple[float, float] = (0.0, 0.0)
) -> Shape:
    """A loose flat (or evenly crowned) card without folded edges."""
    x, y = _grid(width, height, cell)
    return Shape("test card", cell, _crowned(x, y, width, height, crown), np.ones(x.shape, dtype=bool), crown)


@dataclass(frozen=True)
class PanelKind:
    """A kind of panel by its usual measures, all of which can be given anew: `door(1.0, 0.6, line_height=0.2)`.

    x runs along the car and y upwards, but along the car and across it on a bonnet and a roof, and across the car on
    a tailgate and a bumper.

    radius_x, radius_y  of its crown
    line_at             share of its height at which its body line runs; none: it has no line
    line_turn           rad    by which the sheet turns there
    line_height         over the lower side, in place of that share
    arch_centre         of the wheel arch cut out of its lower side, from the lower front corner; none: no arch
    """

    name: str
    width: float
    height: float
    radius_x: float
    radius_y: float
    line_at: float | None = None
    line_radius: float = 0.0
    line_turn: float = 0.0
    line_height: float | None = None
    arch_centre: tuple[float, float] | None = None
    arch_radius: float = 0.0
    sheet: str = "steel"
    sheet_thickness: float = 0.8e-3

    def __call__(
        self, width: float | None = None, height: float | None = None, cell: float = CELL, **measures: Any
    ) -> Shape:
        """The panel on a grid of such cells."""
        size: dict[str, Any] = {"width": width or self.width, "height": height or self.height}
        return _made(replace(self, **size, **measures), cell)


@lru_cache(maxsize=64)
def _made(kind: PanelKind, cell: float) -> Shape:
    width, height, crown = kind.width, kind.height, (1 / kind.radius_x, 1 / kind.radius_y)
    if kind.line_at is None and kind.line_height is not None:
        raise InputError("line_height", f"a {kind.name} has no body line.", "Leave it out.", kind="place")
    if kind.arch_centre is not None:
        for argument, side, centre in zip(("width", "height"), (width, height), kind.arch_centre, strict=True):
            least = centre + kind.arch_radius + LEAST_MARGIN
            _fits(argument, side, least, MOST_SIDE, "The wheel arch must fit on it.")
    x, y = _grid(width, height, cell)
    form, inside = _crowned(x, y, width, height, crown), np.ones(x.shape, dtype=bool)
    edges = _edges(width, height, 2e-3)
    lines: list[Line] = []
    if kind.line_at is not None:
        at = _line_height(kind.line_height, height, kind.line_at)
        form = form + ridge(y - at, kind.line_radius, kind.line_turn)
        ends = ((0, at), (width, at), (0, 1))
        lines.append(_straight("body line", "body line", *ends, kind.line_radius, kind.line_turn))
    if kind.arch_centre is not None:
        inside = np.hypot(x - kind.arch_centre[0], y - kind.arch_centre[1]) > kind.arch_radius
        lines.append(_arch(kind.arch_centre, kind.arch_radius))
        edges.pop("bottom edge")
    called = dict(zip(USUAL_EDGES, edges_of(kind.name), strict=True))
    lines += [replace(one, name=called[one.name]) for one in edges.values()]
    return Shape(kind.name, cell, form, inside, crown, tuple(lines), kind.sheet, kind.sheet_thickness)


def _line_height(given: float | None, height: float, usual: float) -> float:
    """How high a body line runs: as given, or at its usual share of the panel's height."""
    line_height = usual * height if given is None else given
    remedy = "A body line runs over the panel, off its edges."
    _fits("line_height", line_height, LEAST_MARGIN, height - LEAST_MARGIN, remedy)
    return line_height


def _arch(centre: tuple[float, float], radius: float) -> Line:
    below = math.asin(min(1.0, max(-1.0, -centre[1] / radius)))
    count = max(2, round((math.pi - 2 * below) * radius / STATION_PITCH))
    angle = below + (np.arange(count) + 0.5) / count * (math.pi - 2 * below)
    outward = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    return Line("wheel arch", "edge", np.array(centre) + radius * outward, -outward, 2e-3)


plain_panel = PanelKind("plain panel", 1.2, 0.9, 6.0, 6.0)
door = PanelKind("door", 1.2, 0.8, 10.0, 3.0, 0.375, 8e-3, math.radians(10))
quarter_panel = PanelKind(
    "quarter panel", 1.2, 0.7, 8.0, 2.0, 0.48 / 0.7, 6e-3, math.radians(14), None, (0.55, -0.05), 0.36
)
front_wing = PanelKind(
    "front wing", 1.0, 0.6, 5.0, 1.5, 0.48 / 0.7, 6e-3, math.radians(12), None, (0.45, -0.08), 0.35
)
bonnet = PanelKind("bonnet", 1.1, 1.3, 4.0, 6.0, 0.2, 15e-3, math.radians(8))
roof = PanelKind("roof", 1.4, 1.1, 5.0, 3.0)
tailgate = PanelKind("tailgate", 1.1, 0.6, 3.5, 2.0, 0.6, 8e-3, math.radians(12))
bumper = PanelKind("bumper", 1.6, 0.45, 2.5, 0.8, 0.6, 10e-3, math.radians(14), sheet="plastic", sheet_thickness=3e-3)
KINDS = (door, front_wing, bonnet, roof, quarter_panel, tailgate, bumper, plain_panel)
SHAPES: dict[str, Callable[..., Shape]] = {
    "test card": test_card,
    **{kind.name: kind for kind in KINDS},
}
LINED = tuple(kind.name for kind in KINDS if kind.line_at is not None)
