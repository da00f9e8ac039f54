"""The panel as a drawing on which a damage is placed: its outline, its lines, and what lies around the damage."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from coursekit.drawing import curve, drawing, rect, text
from coursekit.lesson.draw.charts import INK
from coursekit.markup import Markup
from coursekit.nomenclature import System, names
from coursekit.panel import Shape
from coursekit.panel.shapes import edges_of
from coursekit.quantities import in_unit, shown
from coursekit.repair.given import Place

WIDTH, TALLEST, LEFT, BOTTOM, TOP = 400.0, 230.0, 8.0, 38.0, 8.0
STEP = {"metric": 10.0, "us": 0.5}  # by which an arrow key moves, in the unit of places


def panel_drawing(
    shape: Shape, place: Place, around: Sequence[tuple[str, Place]], system: System, words: str
) -> Markup:
    """Seen from outside, the front at the left, or the left of what lies across the car.

    `place` and what lies around it: x0, x1, y0, y1 in m.
    """
    width, height = shape.size
    scale = min((WIDTH - 2 * LEFT) / width, TALLEST / height)
    low = TOP + height * scale
    unit = scale / float(in_unit(1.0, "place", system))  # drawn length of one unit

    def box(area: Place, **look: Any) -> Markup:
        x0, x1 = (min(max(end, 0.0), width) for end in area[:2])
        y0, y1 = (min(max(end, 0.0), height) for end in area[2:])
        return rect(LEFT + x0 * scale, low - y1 * scale, (x1 - x0) * scale, (y1 - y0) * scale, **look)

    def line(points: np.ndarray, **look: Any) -> Markup:
        return curve(LEFT + points[:, 0] * scale, low - points[:, 1] * scale, fill="none", **INK, **look)

    ends = [edge.removesuffix(" edge") for edge in edges_of(shape.name)]
    size = " × ".join(shown(side, "place", system, 3) for side in (width, height))
    dashed = f"; dashed: {', '.join(name for name, _ in around)}" if around else ""
    parts = [
        box((0.0, width, 0.0, height), fill="currentColor", fill_opacity="0.08", **INK),
        *(line(_closed(one.points), class_="ck-gone") for one in shape.lines if one.name == "wheel arch"),
        *(line(one.points) for one in shape.lines if one.kind == "body line"),
        *(box(area, fill="none", stroke_dasharray="5 4", **INK) for _, area in around),
        box(place, class_="ck-place-damage", fill="currentColor", fill_opacity="0.45", **INK),
        text(LEFT, low + 16, ends[0]),
        text(LEFT + width * scale, low + 16, ends[1], "end"),
        text(LEFT + width * scale / 2, low + 16, ends[2], "middle"),
        text(LEFT, low + 33, f"{size}{dashed}"),
    ]
    return drawing(
        WIDTH,
        low + BOTTOM,
        parts,
        class_="ck-drawing",
        role="img",
        aria_label=words,
        font_size="13",
        fill="currentColor",
        data_unit=names()["place"].unit(system),
        data_px=f"{unit:.6f}",
        data_left=f"{LEFT:g}",
        data_low=f"{low:.1f}",
        data_right=f"{LEFT + width * scale:.1f}",
        data_top=f"{TOP:g}",
        data_step=f"{STEP[system]:g}",
    )


def _closed(points: np.ndarray) -> np.ndarray:
    """An arch down to the lower edge."""
    found: np.ndarray = np.vstack([(points[0, 0], 0.0), points, (points[-1, 0], 0.0)])
    return found
