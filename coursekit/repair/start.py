"""The panel as it stands before the first step: its shape, the straightened metal, and the old paint cut back."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

import numpy as np

from coursekit.panel import FACTORY_COATS, LINED, SHAPES, Panel, Section, Shape, sheet_metal
from coursekit.panel.state import SECTION_STEP
from coursekit.quantities import InputError
from coursekit.repair.vocabulary import KEPT

WIDEST = 5e-3  # m: on wider squares sanding is not its limit, at edges by up to 0.6 of the film sprayed (computed)
SHALLOW = 0.05e-3  # m: what surfacer levels without filler (assumed: less than half of two coats)
MEASURES = {
    "width": "width",
    "height": "height",
    "radius_along": "radius_x",
    "radius_up": "radius_y",
    "line_height": "line_height",
}


def shape_of(settings: Mapping[str, Any]) -> Shape:
    """The form of a recipe's `[panel]` on its grid. Raises InputError naming the key that cannot be."""
    kind = settings["shape"]
    given = {argument: settings[key] for key, argument in MEASURES.items() if settings[key] is not None}
    if "line_height" in given and kind not in LINED:
        raise InputError(
            "line_height", f"a {kind} has no body line.", "Leave it out, or take another shape.", kind="place"
        )
    if kind == "test card" and ("radius_x" in given or "radius_y" in given):
        given["crown"] = tuple(1 / given.pop(axis, math.inf) for axis in ("radius_x", "radius_y"))
    return _shape(kind, min(settings["cell"], WIDEST), settings["sheet"], tuple(given.items()))


@lru_cache(maxsize=8)
def _shape(kind: str, cell: float, sheet: str, given: tuple[tuple[str, Any], ...]) -> Shape:
    return replace(SHAPES[kind](cell=cell, **dict(given)), sheet=sheet)


def starting_panel(settings: Mapping[str, Any]) -> Panel:
    """The panel that a recipe's `[panel]` describes.

    The metal of the damage lies low like a shallow dish. Over it and `stripped` beyond it the old paint is gone
    down to the sheet, the primer or the base; from there it rises to its full film over `feather`.
    """
    shape = shape_of(settings)
    whole = sum(film for _, film in FACTORY_COATS)
    coats = tuple((name, settings["old_paint"] * film / whole) for name, film in FACTORY_COATS)
    damage = settings["damage"]
    if damage is None:
        return sheet_metal(shape, coats=coats, texture=settings["texture"])
    dish = np.outer(_bump(shape.y, damage["y"], damage["height"]), _bump(shape.x, damage["x"], damage["width"]))
    panel = sheet_metal(shape, dents=-damage["low"] * dish, coats=coats, texture=settings["texture"])
    left = 1 - _stripped(shape, damage, shape.x, shape.y[:, None], shape.cell)
    left.setflags(write=False)
    kept = 1 + len(KEPT[damage["down_to"]])
    layers = list(panel.layers[:kept])
    for layer in panel.layers[kept:]:
        film = layer.thickness * left
        film.setflags(write=False)
        layers.append(replace(layer, thickness=film))
    texture = tuple(band * left if band.any() else band for band in panel.texture)
    return replace(
        panel,
        layers=tuple(layers),
        texture=texture,
        sections=tuple(_section(shape, damage, section, kept) for section in panel.sections),
    )


def _bump(places: np.ndarray, start: float, extent: float) -> np.ndarray:
    along = np.clip((places - start) / extent, 0, 1)
    return np.sin(np.pi * along) ** 2


def _stripped(shape: Shape, damage: Mapping[str, float], x: np.ndarray, y: np.ndarray, width: float) -> np.ndarray:
    """1 where the old paint is gone, 0 where it is whole, and the feathered rim between, at places that wide (m)."""
    beyond = [
        np.maximum(np.maximum(damage[low] - axis, axis - damage[low] - damage[size]), 0)
        for axis, low, size in ((y, "y", "height"), (x, "x", "width"))
    ]
    distance = np.hypot(*beyond) - damage["stripped"]
    rise = np.clip(distance / max(damage["feather"], 1e-9), 0, 1)
    gone = 1 - rise * rise * (3 - 2 * rise)
    return gone * _short_of_lines(shape, damage, y, width) if damage["low"] > SHALLOW else gone


def _short_of_lines(shape: Shape, damage: Mapping[str, float], y: np.ndarray, width: float) -> np.ndarray:
    """Share of each place on the damage's side of the body lines: what is filled is not opened across their tape."""
    share = np.ones_like(y)
    for line in shape.lines:
        if line.kind == "body line":  # lines run along x
            over = np.clip((y - line.points[0, 1]) / width + 0.5, 0, 1)
            if damage["y"] >= line.points[0, 1]:
                share *= over
            elif damage["y"] + damage["height"] <= line.points[0, 1]:
                share *= 1 - over
    return share


def _section(shape: Shape, damage: Mapping[str, float], section: Section, kept: int) -> Section:
    line, thickness = section.line, np.array(section.thickness)
    x, y = np.moveaxis(line.points[:, None] + section.across[:, None] * line.normals[:, None], -1, 0)
    thickness[kept:] *= 1 - _stripped(shape, damage, x, y, SECTION_STEP)
    thickness.setflags(write=False)
    return replace(section, thickness=thickness)
