"""Drops to one scale: what each formula says of one spray, and whether it may be asked."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from coursekit.drawing import circle
from coursekit.figure import Figure, first_holding
from coursekit.lesson.draw.charts import ACCENT, broken
from coursekit.lesson.draw.drawing import FINE, HEAVY, ROW, USUAL, Sketch, cross_out, label, line, lines_of
from coursekit.markup import Markup

WIDTH, LARGE = 640.0, 112.0  # px: the drawing, and the widest drop
SCALES = (100e-6, 150e-6, 250e-6, 500e-6, 1e-3)  # m that the widest drop stands for
LINE = 150.0  # px down to where the drops stand
NAME = 3  # rows of a name at most


class Said(NamedTuple):
    """A formula's name, the drop it gives, whether the spray lies in its range, and how far outside."""

    name: str
    drop: Figure
    inside: bool
    state: str


def drops_to_scale(said: Sequence[Said], measured: tuple[Figure, Figure]) -> Sketch:
    """measured  the range of drops that was measured in air sprays of paint: the dashed rings."""
    most = first_holding(SCALES, max(one.drop.si for one in said))
    scale, room = LARGE / most, WIDTH / len(said)
    low, high = (end.si * scale / 2 for end in measured)
    dashed: dict[str, Any] = {
        "fill": "none",
        "stroke": "currentColor",
        "stroke_width": FINE,
        "stroke_dasharray": "4 3",
    }
    parts: list[Markup] = [label(0, 16, f"Drops to one scale; dashed: {measured[0]} and {measured[1]}, as measured")]
    for number, one in enumerate(said):
        x, radius = room * (number + 0.5), min(one.drop.si, most) * scale / 2
        y = LINE - radius
        if one.inside:
            parts.append(
                circle(x, y, radius, fill=ACCENT, fill_opacity="0.45", stroke="currentColor", stroke_width=HEAVY)
            )
        else:
            parts.append(
                circle(
                    x, y, radius, fill="currentColor", fill_opacity="0.12", stroke="currentColor", stroke_width=USUAL
                )
            )
            parts.append(cross_out(x, y, max(0.6 * radius, 6.0)))
        parts += [circle(x, LINE - end, end, **dashed) for end in (low, high)]
        parts.append(label(x, LINE + 22, f"{one.drop}", "middle", font_weight="700" if one.inside else "400"))
        parts.append(lines_of(x, LINE + 22 + ROW, broken(one.state, room), "middle"))
        parts.append(lines_of(x, LINE + 28 + 3 * ROW, broken(one.name, room), "middle", opacity=0.85))
    parts.append(line("M", 0, LINE, "H", WIDTH, weight=FINE))
    return Sketch(parts, WIDTH, LINE + 28 + (3 + NAME) * ROW - 14)
