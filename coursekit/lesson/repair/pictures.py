"""Pictures of a repair: for each step that changed the surface its maps as PNG files, and a page of them all."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np

from coursekit.figure import Axis
from coursekit.lesson.draw.colour_maps import map_picture, map_png
from coursekit.markup import Markup, tag
from coursekit.nomenclature import System, names
from coursekit.panel import Panel
from coursekit.quantities import in_unit
from coursekit.repair import Replay

STYLE = (
    ".ck-map { position: relative } .ck-map img { position: absolute; image-rendering: pixelated } "
    "body { font: 16px/1.4 sans-serif; max-width: 700px; margin: 1em auto; padding: 0 1em }"
)
ENLARGED = 3  # pixels a cell in the PNG files
MAPS = (("film", "film", "all films on the sheet"), ("height", "height", "surface over the form"))


def write_pictures(replay: Replay, folder: Path, system: System = "metric") -> list[Path]:
    """Write the maps of a repair into a folder, made when it is missing; gives the files."""
    folder.mkdir(parents=True, exist_ok=True)
    scales = {key: _scale(replay, key, words, system) for key, _, words in MAPS}
    x, y = (
        Axis(f"{name}, {names()['place'].unit(system)}", 0.0, float(in_unit(size, "place", system)))
        for name, size in zip(("along", "up"), replay.start.shape.size, strict=True)
    )
    written, blocks = [], []
    for number, words, verdict, panel in _changed(replay):
        blocks.append(tag("h2", f"{number} {words}"))
        for key, table, meaning in MAPS:
            scale, values = scales[key], _values(panel, key, system)
            file = folder / f"{number:02d}-{words.replace(' ', '-')}-{key}.png"
            whole = np.kron(values, np.ones((ENLARGED, ENLARGED)))
            file.write_bytes(map_png(whole, scale.low, scale.high, "cividis" if table == "film" else "berlin"))
            written.append(file)
            blocks.append(
                map_picture(
                    values, x, y, scale, "cividis" if table == "film" else "berlin", f"{meaning} after step {number}"
                )
            )
        blocks.append(tag("p", verdict))
    title = replay.recipe.title
    head = (tag("meta", charset="utf-8"), tag("title", title), tag("style", Markup(STYLE)), tag("h1", title))
    page = folder / "pictures.html"
    page.write_text(
        f"<!DOCTYPE html>\n{tag('html', *head, *blocks, lang='en')}\n",
        encoding="utf-8",
        newline="\n",
    )
    return [*written, page]


def _changed(replay: Replay) -> Iterator[tuple[int, str, str, Panel]]:
    before = replay.start
    for entry in replay:
        films = [layer.thickness for layer in entry.panel.layers]
        if len(films) != len(before.layers) or any(
            new is not old.thickness for new, old in zip(films, before.layers, strict=True)
        ):
            yield entry.step.number, entry.step.words, str(entry.verdict), entry.panel
        before = entry.panel


def _values(panel: Panel, key: str, system: System) -> np.ndarray:
    map_of = panel.film() if key == "film" else panel.surface - panel.film()[panel.shape.inside].mean()
    return np.where(panel.shape.inside, in_unit(map_of, "film", system), np.nan)


def _scale(replay: Replay, key: str, words: str, system: System) -> Axis:
    """One scale for all steps, so that pictures can be compared; the few highest places are cut off."""
    ends = [np.nanpercentile(_values(panel, key, system), [1, 99]) for *_, panel in _changed(replay)] or [
        np.array([0.0, 1.0])
    ]
    low, high = float(min(end[0] for end in ends)), float(max(end[1] for end in ends))
    low = 0.0 if key == "film" else low
    return Axis(f"{words}, {names()['film'].unit(system)}", low, high if high > low else low + 1)
