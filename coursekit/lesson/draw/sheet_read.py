"""A data sheet with its line of solids ringed, and the films that follow: read as it is meant, and read wrongly."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from coursekit.drawing import corners
from coursekit.figure import Figure, first_holding
from coursekit.lesson.draw.charts import box
from coursekit.lesson.draw.drawing import FINE, HEAVY, ROW, USUAL, Sketch, arrow, box_of, frame, label, line, outline
from coursekit.markup import Markup
from coursekit.uncertain import Band

WIDTH, HEIGHT = 640.0, 262.0
PAGE_WIDE, PAGE_HIGH, CORNER = 196.0, 210.0, 22.0  # px of the sheet
LEFT, EACH = 226.0, 210.0  # px: where the films begin, and the room of one reading
GROUND, FILM = 222.0, 140.0  # px: what the films lie on, and the height of the thickest
ENDS = [50e-6 * 2**n for n in range(8)]  # m of wet film that FILM may stand for


class Read(NamedTuple):
    """One way to read the sheet: what it is called, the wet film that follows, and what stays of it dry."""

    title: str
    wet: Figure
    dry: Figure


def sheet_read(lines: Sequence[str], ringed: int, wanted: Figure, reads: Sequence[Read]) -> Sketch:
    """lines  what the sheet says, one of them ringed; `wanted` is the dry film aimed at"""
    scale = FILM / first_holding(ENDS, max(one.wet.most for one in reads))
    parts = [*_sheet(lines, ringed)]
    for number, one in enumerate(reads):
        parts += _films(LEFT + EACH * number, one, scale)
    end, level = LEFT + EACH * len(reads) - 26, GROUND - scale * wanted.si
    parts.append(line("M", LEFT - 8, level, "H", end, weight=USUAL, stroke_dasharray="7 4"))
    parts.append(label(LEFT - 8, HEIGHT - 2, f"dashed: the {wanted} dry that is wanted"))
    return Sketch(parts, WIDTH, HEIGHT)


def _sheet(lines: Sequence[str], ringed: int) -> Iterator[Markup]:
    page = [(2, 4), (PAGE_WIDE - CORNER, 4), (PAGE_WIDE, 4 + CORNER), (PAGE_WIDE, PAGE_HIGH), (2, PAGE_HIGH)]
    yield outline(page, USUAL)
    yield line("M", PAGE_WIDE - CORNER, 4, "v", CORNER, "h", CORNER, weight=FINE)
    for number, words in enumerate(lines):
        y = 34 + 34 * number
        yield label(14, y, words, font_weight="700" if not number else "400")
        yield line("M", 14, y + 9, "H", PAGE_WIDE - 14, weight=FINE, opacity=0.35)
        if number == ringed:
            yield frame(8, y - 18, PAGE_WIDE - 14, 26, HEAVY, rx=12)
            yield arrow(PAGE_WIDE - 4, y - 5, LEFT - 12, y - 5, HEAVY)


def _films(x: float, one: Read, scale: float) -> Iterator[Markup]:
    """The wet film with its solids under what goes off, and the film that stays."""
    wet, dry = (scale * (film.si.middle if isinstance(film.si, Band) else film.si) for film in (one.wet, one.dry))
    yield label(x, 20, one.title, font_weight="700")
    yield label(x, 20 + ROW, f"{one.wet} wet")
    yield label(x, 20 + 2 * ROW, f"leaves {one.dry}")
    yield box(x, GROUND - wet, 74, wet - dry, "dots")
    yield box_of("surfacer", x, GROUND - dry, 74, dry)
    yield arrow(x + 82, GROUND - 10, x + 98, GROUND - 10, USUAL)
    yield box_of("surfacer", x + 106, GROUND - dry, 74, dry)
    yield outline(corners(x + 106, GROUND - wet, 74, wet - dry), FINE, stroke_dasharray="2 4")
    yield line("M", x - 4, GROUND, "h", 188, weight=4)
