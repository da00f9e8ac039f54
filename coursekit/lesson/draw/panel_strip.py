"""The panel after each step that changed it: small maps in a row, on one scale, each with its verdict."""

from __future__ import annotations

import base64

import numpy as np

from coursekit import repair
from coursekit.lesson.draw.colour_maps import TABLES, _colours, map_png
from coursekit.lesson.draw.panel_maps import SHADES, VIEWS, round_end, values_of
from coursekit.lesson.learner import unit_system
from coursekit.lesson.screen import page
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
    scale, key, low, high, table = _scale(found, view)
    figures, told = [], []
    for entry, values in zip(entries, found, strict=True):
        name = f"{entry.step.number} {entry.step.words}"
        verdict = "go on" if entry.verdict.go else "not yet"
        data = base64.b64encode(map_png(values, low, high, table)).decode()
        figures.append(
            f'<figure><img alt="{page.escape(f"{view} after step {name}")}" '
            f'src="data:image/png;base64,{data}"><figcaption>{page.escape(name)}<br>'
            f"<strong>{verdict}</strong></figcaption></figure>"
        )
        told.append(f"{name}: {verdict}")
    title = f"{played.recipe.title}: {view}, step by step. {scale}"
    return page.Piece(
        f'{page.paragraph(title)}{key}<div class="ck-strip">{"".join(figures)}</div>', "\n".join([title, *told])
    )


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


def _scale(found: list[np.ndarray], view: str) -> tuple[str, str, float, float, str]:
    """What the colours mean: in words and as patches; both ends in SI, and the table of colours."""
    system = unit_system.chosen()
    if view == "what shows":
        there = np.unique(np.concatenate([values[~np.isnan(values)] for values in found]))
        names = sorted(
            (name for name, shade in SHADES.items() if shade in there and name != "bare plastic"),
            key=lambda name: SHADES[name],
        )
        words = f"From dark to light: {', '.join(names)}."
        return words, _key([(SHADES[name], name) for name in names], TABLES["film"]), 0.0, 1.0, TABLES["film"]
    drawn = VIEWS[view]
    # The usual step fills the scale; the fresh filler may run out of it.
    end = 1.0 if view == "guide coat" else float(np.median([round_end([one], drawn.least) for one in found]))
    low = -end if view == "height" else 0.0
    marks = [(share, low + share * (end - low)) for share in (0.0, 0.5, 1.0)]
    told = [(share, say(value, drawn.name, system)) for share, value in marks]
    words = f"Colours go from {told[0][1]} to {told[-1][1]}, the same in all; what is beyond has the last colour."
    return words, _key(told, drawn.table), low, end, drawn.table


def _key(marks: list[tuple[float, str]], table: str) -> str:
    """Patches of the colours at shares of the scale, each with its words."""
    colours = _colours(table)
    patches = "".join(
        f'<span><i style="background:rgb{tuple(int(one) for one in colours[round(share * 254)])}"></i> '
        f"{page.escape(words)}</span>"
        for share, words in marks
    )
    return f'<p class="ck-key" aria-hidden="true">{patches}</p>'
