"""The sheet's own form, on a grid, with its edges and body lines: a test card, and the panels of a car.

Sizes, crowns and lines of the panels are invented and typical (assumed): a learner gives those of the own panel.

Heights are metres along the outward normal of the middle of the panel; x runs along the car, y upwards.
A crown is given as curvature (1/m, convex positive). What is finer than the grid – the radius of a body line
or of a folded edge – stands in `Line` and is worked as a 1-D section (`panel.sections`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

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
    def area(self) -> float:
        """Area of the panel, m²."""
        return float(np.count_nonzero(self.inside)) * self.cell**2


@lru_cache(maxsize=32)
def bearing_share(shape: Shape, give: float) -> np.ndarray:
    """Share of each cell that lies on the panel and not in a fold, for a backing that yields by `give` (m)."""
    share = shape.inside_share.copy()
    places = np.stack(np.meshgrid(shape.x, shape.y), axis=-1)
    for line in shape.lines:
        if line.kind != "edge":
            continue
        near = line.points if (line.normals != line.normals[0]).any() else line.points[:1]
        apart = places[:, :, None] - near
        nearest = (apart**2).sum(axis=-1).argmin(axis=-1)
        apart = np.take_along_axis(apart, nearest[:, :, None, None], axis=2)[:, :, 0]
        into = -(apart * line.normals[nearest]).sum(axis=-1)
        share *= np.clip((into - line.folded(give)) / shape.cell + 0.5, 0, 1)
    share.setflags(write=False)
    return share


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


@lru_cache(maxsize=8)
def plain_panel(
    width: float = 1.2, height: float = 0.9, cell: float = CELL, *, radius_x: float = 6.0, radius_y: float = 6.0
) -> Shape:
    """A panel without a body line: crowned both ways, folded edges."""
    return _plain("plain panel", width, height, cell, radius_x, radius_y)


def _plain(name: str, width: float, height: float, cell: float, radius_x: float, radius_y: float) -> Shape:
    x, y = _grid(width, height, cell)
    crown = (1 / radius_x, 1 / radius_y)
    return Shape(
        name,
        cell,
        _crowned(x, y, width, height, crown),
        np.ones(x.shape, dtype=bool),
        crown,
        tuple(_edges(width, height, 2e-3).values()),
    )


@lru_cache(maxsize=8)
def roof(
    width: float = 1.4, height: float = 1.1, cell: float = CELL, *, radius_x: float = 5.0, radius_y: float = 3.0
) -> Shape:
    """A roof skin: crowned both ways, no line; x runs along the car, y across it."""
    return _plain("roof", width, height, cell, radius_x, radius_y)


def _line_height(given: float | None, height: float, usual: float) -> float:
    """How high a body line runs: as given, or at its usual share of the panel's height."""
    line_height = usual * height if given is None else given
    _fits(
        "line_height",
        line_height,
        LEAST_MARGIN,
        height - LEAST_MARGIN,
        "A body line runs over the panel, off its edges.",
    )
    return line_height


@lru_cache(maxsize=8)
def door(
    width: float = 1.2,
    height: float = 0.8,
    cell: float = CELL,
    *,
    radius_x: float = 10.0,
    radius_y: float = 3.0,
    line_height: float | None = None,
    line_radius: float = 8e-3,
    line_turn: float = math.radians(10),
) -> Shape:
    """A door skin: crowned both ways, one body line along it, folded edges."""
    return _lined("door", width, height, cell, radius_x, radius_y, line_height, 0.375, line_radius, line_turn)


def _lined(
    name: str,
    width: float,
    height: float,
    cell: float,
    radius_x: float,
    radius_y: float,
    line_height: float | None,
    usual: float,
    line_radius: float,
    line_turn: float,
) -> Shape:
    x, y = _grid(width, height, cell)
    line_height = _line_height(line_height, height, usual)
    crown = (1 / radius_x, 1 / radius_y)
    form = _crowned(x, y, width, height, crown) + ridge(y - line_height, line_radius, line_turn)
    body_line = _straight(
        "body line", "body line", (0, line_height), (width, line_height), (0, 1), line_radius, line_turn
    )
    return Shape(
        name, cell, form, np.ones(x.shape, dtype=bool), crown, (body_line, *_edges(width, height, 2e-3).values())
    )


@lru_cache(maxsize=8)
def bonnet(
    width: float = 1.1,
    height: float = 1.3,
    cell: float = CELL,
    *,
    radius_x: float = 4.0,
    radius_y: float = 6.0,
    line_height: float | None = None,
    line_radius: float = 15e-3,
    line_turn: float = math.radians(8),
) -> Shape:
    """A bonnet (hood): a crease along the car near one side; x runs along the car, y across it."""
    return _lined("bonnet", width, height, cell, radius_x, radius_y, line_height, 0.2, line_radius, line_turn)


@lru_cache(maxsize=8)
def tailgate(
    width: float = 1.1,
    height: float = 0.6,
    cell: float = CELL,
    *,
    radius_x: float = 3.5,
    radius_y: float = 2.0,
    line_height: float | None = None,
    line_radius: float = 8e-3,
    line_turn: float = math.radians(12),
) -> Shape:
    """The skin of a tailgate under its window: one body line along it; x runs across the car."""
    return _lined("tailgate", width, height, cell, radius_x, radius_y, line_height, 0.6, line_radius, line_turn)


@lru_cache(maxsize=8)
def bumper(
    width: float = 1.6,
    height: float = 0.45,
    cell: float = CELL,
    *,
    radius_x: float = 2.5,
    radius_y: float = 0.8,
    line_height: float | None = None,
    line_radius: float = 10e-3,
    line_turn: float = math.radians(14),
) -> Shape:
    """A bumper skin of plastic: much crown both ways, one line along it; x runs across the car."""
    made = _lined("bumper", width, height, cell, radius_x, radius_y, line_height, 0.6, line_radius, line_turn)
    return replace(made, sheet="plastic", sheet_thickness=3e-3)


@lru_cache(maxsize=8)
def quarter_panel(
    width: float = 1.2,
    height: float = 0.7,
    cell: float = CELL,
    *,
    radius_x: float = 8.0,
    radius_y: float = 2.0,
    arch_centre: tuple[float, float] = (0.55, -0.05),
    arch_radius: float = 0.36,
    line_height: float | None = None,
    line_radius: float = 6e-3,
    line_turn: float = math.radians(14),
) -> Shape:
    """A quarter panel: wheel arch cut out of its lower side, a body line above it, more crown than a door."""
    crown = (1 / radius_x, 1 / radius_y)
    return _arched(
        "quarter panel", width, height, cell, crown, arch_centre, arch_radius, line_height, line_radius, line_turn
    )


@lru_cache(maxsize=8)
def front_wing(
    width: float = 1.0,
    height: float = 0.6,
    cell: float = CELL,
    *,
    radius_x: float = 5.0,
    radius_y: float = 1.5,
    arch_centre: tuple[float, float] = (0.45, -0.08),
    arch_radius: float = 0.35,
    line_height: float | None = None,
    line_radius: float = 6e-3,
    line_turn: float = math.radians(12),
) -> Shape:
    """A front wing (fender): wheel arch cut out of its lower side, a body line above it."""
    crown = (1 / radius_x, 1 / radius_y)
    return _arched(
        "front wing", width, height, cell, crown, arch_centre, arch_radius, line_height, line_radius, line_turn
    )


def _arched(
    name: str,
    width: float,
    height: float,
    cell: float,
    crown: tuple[float, float],
    arch_centre: tuple[float, float],
    arch_radius: float,
    line_height: float | None,
    line_radius: float,
    line_turn: float,
) -> Shape:
    for argument, side, centre in (("width", width, arch_centre[0]), ("height", height, arch_centre[1])):
        _fits(argument, side, centre + arch_radius + LEAST_MARGIN, MOST_SIDE, "The wheel arch must fit on it.")
    x, y = _grid(width, height, cell)
    line_height = _line_height(line_height, height, 0.48 / 0.7)
    form = _crowned(x, y, width, height, crown) + ridge(y - line_height, line_radius, line_turn)
    inside = np.hypot(x - arch_centre[0], y - arch_centre[1]) > arch_radius
    body_line = _straight(
        "body line", "body line", (0, line_height), (width, line_height), (0, 1), line_radius, line_turn
    )
    below = math.asin(min(1.0, max(-1.0, -arch_centre[1] / arch_radius)))
    count = max(2, round((math.pi - 2 * below) * arch_radius / STATION_PITCH))
    angle = below + (np.arange(count) + 0.5) / count * (math.pi - 2 * below)
    outward = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    arch = Line("wheel arch", "edge", np.array(arch_centre) + arch_radius * outward, -outward, 2e-3)
    edges = _edges(width, height, 2e-3)
    edges.pop("bottom edge")
    return Shape(name, cell, form, inside, crown, (body_line, arch, *edges.values()))


SHAPES = {
    "test card": test_card,
    "plain panel": plain_panel,
    "door": door,
    "quarter panel": quarter_panel,
    "front wing": front_wing,
    "bonnet": bonnet,
    "roof": roof,
    "tailgate": tailgate,
    "bumper": bumper,
}
LINED = ("door", "quarter panel", "front wing", "bonnet", "tailgate", "bumper")
