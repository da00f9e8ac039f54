"""A wet-film comb standing in the fresh paint: which teeth come up wet."""

from __future__ import annotations

from collections.abc import Iterator

from coursekit import film
from coursekit.drawing import path, text
from coursekit.figure import Figure
from coursekit.lesson.draw.charts import INK, box, svg
from coursekit.lesson.draw.drawing import FINE, PAGE, USUAL, box_of, frame, label, line, outline
from coursekit.markup import Markup
from coursekit.nomenclature import System
from coursekit.uncertain import Band

TEETH = 6  # as many as are read in practice, up to 150 µm (6 mil)


def comb_to_read(wet: Figure, dry: Figure, width: int = 400) -> Markup:
    """The comb in a film of that thickness, for who is to read it: wet teeth are hatched, nothing else is told."""
    shown = _shown(wet.system, dry)
    ground = 124.0
    scale = 92.0 / max(shown[-1], float(wet))
    deep = scale * float(wet)
    body = [box(16, ground - deep, width - 32, deep, "dots"), *_comb(shown, dry, dry, (8.0, ground, scale, width))]
    return svg(body, width, int(ground + 30))


COMB_HIGH = 198  # of the comb with its film and the words over and under it


def comb_parts(wet: Figure, wetted: Figure, dry: Figure, width: int = 400, title: str = "") -> list[Markup]:
    """The comb from its side, gaps and film to one scale; the band of the film as two dotted lines."""
    shown = _shown(wet.system, dry)
    ground = 150.0
    scale = 92.0 / max(shown[-1], wet.most)
    middle, low, high = (ground - scale * float(value) for value in (wet.middle, wet.low, wet.high))
    unit = f"{wetted.of(shown[0])}".split()[-1]
    return [
        box_of("surfacer", 16, middle, width - 32, ground - middle),
        *(path("M", 16, end, "H", width - 16, **INK, stroke_width=2, stroke_dasharray="2 4") for end in (low, high)),
        *_comb(shown, dry, wetted, (26.0, ground, scale, width), told=True),
        text(16, 16, f"{title or f'Comb: {wet} wet'}; teeth in {unit}"),
    ]


def comb_and_gauge(wet: Figure, wetted: Figure, tooth: Figure, dry: Figure, width: int = 640) -> list[Markup]:
    """The comb in the fresh film, and the gauge on what stays of it, to one scale; what goes off is dashed."""
    half = width // 2 + 20
    first = wet.of(Band(*[wet.si] * 3))
    shown = _shown(wet.system, tooth)
    ground, scale = 150.0, 92.0 / max(shown[-1], wet.si)
    left, wide = half + 20.0, width - half - 36.0
    probe = left + 0.55 * wide
    top = ground - scale * dry.si
    return [
        *comb_parts(first, wetted, tooth, half, f"Fresh, {wet} wet: the comb"),
        box_of("surfacer", left, top, wide, ground - top),
        frame(left, ground - scale * wet.si, wide, scale * (wet.si - dry.si), FINE, stroke_dasharray="6 4"),
        line("M", left - 6, ground, "H", left + wide + 6, weight=4),
        *gauge_on(probe, top, dry),
        text(left, 16, "Dry: the gauge"),
        label(left, ground + 22, f"dashed: {wet - dry} went off"),
        label(left, ground + 40, "heights of films to scale"),
    ]


def gauge_on(probe: float, top: float, reading: Figure) -> Iterator[Markup]:
    """A thickness gauge on a film, with what it reads."""
    body = [(probe - 16, top), (probe + 16, top), (probe + 16, top - 34), (probe + 40, top - 46)]
    body += [(probe + 40, top - 78), (probe - 40, top - 78), (probe - 40, top - 46), (probe - 16, top - 34)]
    yield outline(body, USUAL, fill=PAGE)
    yield text(probe, top - 56, f"{reading}", "middle")


CUT_HIGH, CUT_SCALE = 164.0, 54.0 / 250e-6  # px of the drawing; px a metre of film, the same at any setting


def gauges(before: tuple[Figure, Figure], after: tuple[Figure, Figure], width: int = 640) -> list[Markup]:
    """The gauge on the paint before and after work: what it reads, and the clear there."""
    (first, clear), ground, half = before, CUT_HIGH - 26, width / 2
    under = CUT_SCALE * (first.si - clear.si)
    parts = [line("M", 8, ground, "H", width - 8, weight=4)]
    for left, wide, title, (reading, film_) in (
        (16.0, half - 130, "Before", before),
        (half + 16, half - 130, "After, where most went", after),
    ):
        top = ground - under - CUT_SCALE * film_.si
        parts += [
            box_of("old paint", left, ground - under, wide, under),
            box_of("clear", left, top, wide, ground - under - top),
            *gauge_on(left + wide / 2, top, reading),
            label(left + wide + 6, ground - under - 3, f"clear {film_:2}"),
            label(left + wide + 6, ground - 6, "all under it"),
            text(left, 16, title),
        ]
        if film_ < clear:
            parts.append(
                line("M", left, ground - under - CUT_SCALE * clear.si, "h", wide, weight=FINE, stroke_dasharray="6 4")
            )
    return [*parts, label(16, CUT_HIGH - 6, "Heights of films to scale; dashed: the clear before.")]


def _comb(
    shown: list[float], dry: Figure, said: Figure, place: tuple[float, float, float, int], told: bool = False
) -> Iterator[Markup]:
    """The comb on its ground, gaps under its teeth; `place` is its top, the ground, the scale and the width."""
    top, ground, scale, width = place
    room = (width - 32) / TEETH
    yield path("M", 10, ground, "H", width - 10, **INK, stroke_width=4)
    yield box(16, top, width - 32, 22, "plain")
    for number, gap in enumerate(shown):
        left, tip = 16 + (number + 0.2) * room, ground - scale * gap
        below = gap < dry.si * (1 - 1e-9)
        yield box(left, top + 22, 0.6 * room, max(tip - top - 22, 0), "slant" if below else "plain")
        yield text(left + 0.3 * room, ground + 22, f"{said.of(gap)}".split()[0], "middle")
        if told:
            yield text(left + 0.3 * room, ground + 40, "wet" if below else "dry", "middle")


def _shown(system: System, dry: Figure) -> list[float]:
    """The teeth about the film."""
    gaps = [float(gap) for gap in film.gauges.COMBS[system]]
    first = max(0, min(sum(gap < dry for gap in gaps) - TEETH + 2, len(gaps) - TEETH))
    return gaps[first : first + TEETH]
