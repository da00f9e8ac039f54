"""Areas that hang on something: "the damage and 80 mm around", "the surfacer and 150 mm around", "up to the line".

A recipe writes { around = "damage", by = "80 mm" }; `around` may be the damage, the repair, or a material: then it is
the area in which that was last spread or sprayed before. With `up_to = "body line"` it ends at the line on whose side
all of it lies; with "body line from above" it is the part above the line, from below the part under it. `beside`
leaves of that a strip so far from the line: there the middle of a block goes along it. It ends `off_edges` from the
panel's four sides, unless what it hangs on reaches there: then it goes over it. A wheel arch takes no side off a
rectangle of which it takes a corner. When the damage moves, all of it moves.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coursekit.errors import Entry, Where
from coursekit.panel import Shape
from coursekit.quantities import InputError, read_choice
from coursekit.repair.given import Place
from coursekit.repair.start import shape_of
from coursekit.tomlfile import Document

KEYS = ("around", "by", "up_to", "beside", "off_edges")
ABOVE, BELOW = "body line from above", "body line from below"
LINES = ("body line", ABOVE, BELOW)
STRIP = 4e-3  # m: how far a hand that is led along a line strays from it (assumed)
NEAR = 1e-6  # m: what an earlier area was cut off at is not reached by it
OVER = 5e-3  # m by which an area that reaches an edge goes over it


def is_anchored(value: Any) -> bool:
    """Whether an area is tied to something, instead of having its own four sides."""
    return isinstance(value, dict) and "around" in value


def read_anchored(
    document: Document,
    where: Where,
    value: dict[str, Any],
    panel: Mapping[str, Any],
    known: Mapping[str, Place | None],
) -> Place | None:
    """The rectangle of such an area as it is now; None when it is tied to what covers the whole panel.

    known  what it may hang on: "damage" and the materials laid by earlier steps, each with its area
    """
    document.check_keys(where, value, KEYS)
    try:
        around = read_choice(value["around"], tuple(known), "around")
    except InputError as error:
        document.refuse((*where, "around"), error)
    numbers = {}
    for key in ("by", "beside", "off_edges"):
        given = value.get(key, "0 mm")
        if isinstance(given, (list, dict)):
            document.fail((*where, key), "is not one value.", ("Write ", Entry(key, '"80 mm"'), "."), "list")
        numbers[key] = float(document.quantity((*where, key), given, "place"))
    up_to = ""
    if "up_to" in value:
        try:
            up_to = read_choice(value["up_to"], LINES, "up_to")
        except InputError as error:
            document.refuse((*where, "up_to"), error)
    anchor = known[around]
    if anchor is None:
        return None
    beside = numbers["beside"] if "beside" in value else None
    return place_of(shape_of(panel), anchor, numbers["by"], up_to, numbers["off_edges"], beside)


def place_of(
    shape: Shape, anchor: Place, by: float, up_to: str = "", off_edges: float = 0.0, beside: float | None = None
) -> Place:
    """A rectangle and a margin around it, cut off at the body line and short of the panel's edges; m."""
    x0, x1 = _short_of(anchor[0] - by, anchor[1] + by, anchor[:2], shape.size[0], off_edges)
    y0, y1 = _short_of(anchor[2] - by, anchor[3] + by, anchor[2:], shape.size[1], off_edges)
    for height in line_heights(shape) if up_to else ():
        if up_to == ABOVE or (up_to != BELOW and anchor[2] >= height):
            y0 = max(y0, height)
            if beside is not None:
                y0, y1 = height + beside - STRIP / 2, height + beside + STRIP / 2
        elif up_to == BELOW or anchor[3] <= height:
            y1 = min(y1, height)
            if beside is not None:
                y0, y1 = height - beside - STRIP / 2, height - beside + STRIP / 2
    return x0, x1, y0, y1


def line_heights(shape: Shape) -> list[float]:
    """How high the body lines of a panel run, m."""
    return [float(line.points[0, 1]) for line in shape.lines if line.kind == "body line"]  # they run along x


def _short_of(low: float, high: float, anchor: tuple[float, ...], size: float, off: float) -> tuple[float, float]:
    """The ends along one side of the panel: short of its edges, over the one that the anchor reaches."""
    first = -OVER if anchor[0] < off - NEAR else max(low, off)
    last = size + OVER if anchor[1] > size - off + NEAR else min(high, size - off)
    return first, last
