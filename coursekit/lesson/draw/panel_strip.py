"""The panel after each step that changed it: small maps in a row, on one scale, each with its verdict."""

from __future__ import annotations

import base64

import numpy as np

from coursekit import repair
from coursekit.lesson.draw.colour_maps import colours, map_png, palette_png
from coursekit.lesson.draw.panel_maps import MAPS, VIEWS, round_end, swatch, values_of
from coursekit.lesson.learner import unit_system
from coursekit.lesson.screen import page
from coursekit.panel import Panel
from coursekit.panel.mirror import Light, seen, surfaces
from coursekit.quantities import read_choice
from coursekit.repair import Entry
from coursekit.repair.words import say

MARGIN = 0.1  # m
FINER = 2  # points for a cell
SEEN = "As you see it, aside of the panel, with a striped board mirrored in what is glossy."


def step_pictures(which: str, view: str) -> page.Piece:
    """The maps of one of the demo repairs."""
    view = read_choice(view, MAPS, "view")
    played = repair.replay(repair.demo_path(which))
    entries = changed(played)
    near = around(played)
    if view == "what shows":
        scale, key = SEEN, _key([(swatch(name), name) for name in _lain(entries)])
        coded = [_seen(entry.panel, near) for entry in entries]
    else:
        found = [values_of(entry.panel, view)[near] for entry in entries]
        scale, key, low, high, table = _scale(found, view)
        coded = [map_png(values, low, high, table) for values in found]
    figures, told = [], []
    for entry, png in zip(entries, coded, strict=True):
        name = f"{entry.step.number} {entry.step.words}"
        verdict = "go on" if entry.verdict.go else "not yet"
        data = base64.b64encode(png).decode()
        image = page.tag("img", alt=f"{view} after step {name}", src=f"data:image/png;base64,{data}")
        under = page.tag("figcaption", name, page.tag("br"), page.tag("strong", verdict))
        figures.append(page.tag("figure", image, under))
        told.append(f"{name}: {verdict}")
    title = f"{played.recipe.title}: {view}, step by step. {scale}"
    strip = page.tag("div", *figures, class_="ck-strip")
    return page.Piece(page.together((page.paragraph(title), key, strip)), "\n".join([title, *told]))


def _seen(panel: Panel, near: tuple[slice, slice]) -> bytes:
    """The panel under the striped board, cut out around the repair."""
    ny, nx = panel.dents.shape
    picture = seen(panel, Light(), FINER * nx)
    low, high, _ = near[0].indices(ny)
    rows = slice(FINER * (ny - high), FINER * (ny - low))
    first, last, _ = near[1].indices(nx)
    cut = np.ascontiguousarray(picture.codes[rows, FINER * first : FINER * last])
    return palette_png(cut, picture.palette.tobytes(), not panel.shape.inside[near].all())


def _lain(entries: list[Entry]) -> list[str]:
    """What lies on top after one of the steps or another."""
    found = {name for entry in entries for name in seen(entry.panel, Light(), 60).share}
    return [name for name in surfaces() if name in found]


def around(played: repair.Replay) -> tuple[slice, slice]:
    """Rows and columns of the repair, with a hand's breadth around it."""
    shape, area = played.start.shape, played.recipe.repair_area
    if area is None:
        return slice(None), slice(None)
    ends = [
        np.searchsorted(axis, (low - MARGIN, high + MARGIN))
        for axis, low, high in ((shape.y, area[2], area[3]), (shape.x, area[0], area[1]))
    ]
    rows, columns = (slice(int(low), int(high)) for low, high in ends)
    return rows, columns


def changed(played: repair.Replay) -> list[Entry]:
    """The steps after which the surface is another."""
    found, before = [], played.start
    for entry in played:
        films = [layer.thickness for layer in entry.panel.layers]
        old = [layer.thickness for layer in before.layers]
        if len(films) != len(old) or any(one is not other for one, other in zip(films, old, strict=True)):
            found.append(entry)
        before = entry.panel
    return found


def _scale(found: list[np.ndarray], view: str) -> tuple[str, page.Markup, float, float, str]:
    """What the colours mean: in words and as patches; both ends in SI, and the table of colours."""
    system = unit_system.chosen()
    drawn = VIEWS[view]
    # The usual step fills the scale; the fresh filler may run out of it.
    end = float(np.median([round_end([one], drawn.least) for one in found]))
    low = -end if view == "height" else 0.0
    marks = [(share, low + share * (end - low)) for share in (0.0, 0.5, 1.0)]
    told = [(share, say(value, drawn.name, system)) for share, value in marks]
    words = f"Colours go from {told[0][1]} to {told[-1][1]}, the same in all; what is beyond has the last colour."
    table = colours(drawn.table)
    key = [(f"background:rgb{tuple(int(one) for one in table[round(share * 254)])}", words) for share, words in told]
    return words, _key(key), low, end, drawn.table


def _key(marks: list[tuple[str, str]]) -> page.Markup:
    """Patches in a style, each with its words."""
    patches = (page.tag("span", page.tag("i", style=style), f" {words}") for style, words in marks)
    return page.tag("p", *patches, class_="ck-key", aria_hidden="true")
