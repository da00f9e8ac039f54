"""The panel after each step that changed it: small maps in a row, on one scale, each with its verdict."""

from __future__ import annotations

import base64

import numpy as np

from coursekit import repair
from coursekit.lesson import page, shown
from coursekit.lesson.panel_maps import SHADES, VIEWS, round_end, values_of
from coursekit.lesson.pictures import TABLES, map_png
from coursekit.quantities import read_choice
from coursekit.repair import Entry
from coursekit.repair.words import say

MARGIN = 0.1  # m
MAPS = ("what shows", *VIEWS)


def step_pictures(which: str, view: str) -> page.Piece:
    """The maps of one of the demo repairs."""
    view = read_choice(view, MAPS, "view")
    played = repair.replay(repair.demo_path(which))
    entries = changed(played)
    near = around(played)
    found = [values_of(entry.panel, view)[near] for entry in entries]
    scale, low, high, table = _scale(found, view)
    figures, told = [], []
    for entry, values in zip(entries, found, strict=True):
        name = f"{entry.step.number} {entry.step.words}"
        verdict = "go on" if entry.verdict.go else "not yet"
        data = base64.b64encode(map_png(values, low, high, table)).decode()
        figures.append(f'<figure><img alt="{page.escape(f"{view} after step {name}")}" '
                       f'src="data:image/png;base64,{data}"><figcaption>{page.escape(name)}<br>'
                       f"<strong>{verdict}</strong></figcaption></figure>")  # fmt: skip
        told.append(f"{name}: {verdict}")
    title = f"{played.recipe.title}: {view}, step by step. {scale}"
    return page.Piece(f'{page.paragraph(title)}<div class="ck-strip">{"".join(figures)}</div>',
                      "\n".join([title, *told]))  # fmt: skip


def around(played: repair.Replay) -> tuple[slice, slice]:
    """Rows and columns of the repair, with a hand's breadth around it."""
    shape, area = played.start.shape, played.recipe.repair_area
    if area is None:
        return slice(None), slice(None)
    ends = [np.searchsorted(axis, (low - MARGIN, high + MARGIN)) for axis, low, high in
            ((shape.y, area[2], area[3]), (shape.x, area[0], area[1]))]  # fmt: skip
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


def _scale(found: list[np.ndarray], view: str) -> tuple[str, float, float, str]:
    """What the colours mean in words, both ends in SI, and the table of colours."""
    system = shown.system()
    if view == "what shows":
        order = ", ".join(sorted(SHADES, key=lambda name: SHADES[name]))
        return f"From dark to light: {order}.", 0.0, 1.0, TABLES["film"]
    drawn = VIEWS[view]
    # The usual step fills the scale; the fresh filler may run out of it.
    end = 1.0 if view == "guide coat" else float(np.median([round_end([one], drawn.least) for one in found]))
    low = -end if view == "height" else 0.0
    ends = [say(one, drawn.name, system) for one in (low, end)]
    return f"Colours go from {ends[0]} to {ends[1]}, the same in all.", low, end, drawn.table
