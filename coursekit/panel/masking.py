"""Masks and their edges, flat or raised, and the guide coat."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from coursekit.panel.shapes import STATION_PITCH, Line
from coursekit.panel.state import (
    Area,
    Panel,
    Section,
    Used,
    changed,
    check,
    frozen,
    section_of,
    share_of,
    to_ends,
)
from coursekit.quantities import InputError
from coursekit.sources import coefficient
from coursekit.spraying.masking import edge_film


@dataclass(frozen=True, repr=False, kw_only=True)
class Masked(Used):
    """What masking used, and the area of the panel that it covers (m²)."""

    area: float


def mask(
    panel: Panel,
    *,
    area: Area,
    outside: bool = False,
    edge: str = "raised",
    lip_height: float = coefficient("lip_height"),
    tape_thickness: float = coefficient("tape_thickness"),
    angle_spread: float = coefficient("angle_spread"),
    width_factor: float = coefficient("width_factor"),
    time: float = 300.0,
) -> tuple[Panel, Masked]:
    """Cover an area, or with `outside` all but it.

    edge  "flat": tape pressed down, the film ends in a step; "raised": tape folded back, its edge stands up

    The other settings are those of `spraying.masking.edge_film`, which draws the ramp as a 1-D section at each
    station of the tape. On the grid the film ends at the tape, within a cell too.
    """
    if edge not in ("flat", "raised"):
        raise InputError("edge", f"{edge!r} is not an edge.", 'Choose "flat" or "raised".', kind="unknown")
    lip, factor = (lip_height, width_factor) if edge == "raised" else (tape_thickness, 1.0)
    check(lip_height=(lip, 1e-5, 0.05), angle_spread=(angle_spread, 0.01, 2), width_factor=(factor, 0.5, 5))
    covered = share_of(panel, area)
    if outside:
        covered = panel.shape.inside_share - covered
    new_mask = np.maximum(panel.mask, covered)
    tapes = _tape_lines(panel, area, outside, edge)
    sections = tuple(_tape(panel, line, lip, angle_spread, factor) for line in tapes)
    return (
        changed(panel, mask=new_mask, sections=(*panel.sections, *sections), time=panel.time + time),
        Masked(act="mask", time=time, area=float(covered.sum()) * panel.cell_area),
    )


def _tape_lines(panel: Panel, area: Area, outside: bool, edge: str) -> list[Line]:
    """The sides of a masked rectangle that lie on the panel; normals point to the open side."""
    if area is None or isinstance(area, np.ndarray):
        return []
    x0, x1, y0, y1 = to_ends(panel, area)
    width, height = panel.shape.size
    way = -1.0 if outside else 1.0
    found = []
    for name, at, start, end, normal in (
        ("left", x0, (x0, y0), (x0, y1), (-way, 0)),
        ("right", x1, (x1, y0), (x1, y1), (way, 0)),
        ("lower", y0, (x0, y0), (x1, y0), (0, -way)),
        ("upper", y1, (x0, y1), (x1, y1), (0, way)),
    ):
        low, high = (0, width) if name in ("left", "right") else (0, height)
        if not low < at < high:
            continue
        begin, finish = np.clip(start, 0, (width, height)), np.clip(end, 0, (width, height))
        count = max(2, round(float(np.hypot(*(finish - begin))) / STATION_PITCH))
        along = (np.arange(count)[:, None] + 0.5) / count
        found.append(
            Line(
                f"{edge} tape, {name}",
                "mask edge",
                begin + along * (finish - begin),
                np.tile(np.array(normal, dtype=float), (count, 1)),
            )
        )
    return found


def _tape(panel: Panel, line: Line, lip: float, angle_spread: float, width_factor: float) -> Section:
    empty = section_of(panel.shape, line, len(panel.layers))
    share = edge_film.si(empty.across, lip, angle_spread, width_factor)
    thickness = np.array([layer.thickness[empty.at] for layer in panel.layers])[:, :, None] + empty.thickness
    return replace(empty, share=frozen(share), thickness=frozen(thickness))


def unmask(panel: Panel, *, time: float = 120.0) -> tuple[Panel, Used]:
    """Take all masks off; the edges they left stay as sections, which later films cover in full."""
    sections = tuple(
        replace(section, share=frozen(np.ones_like(section.share))) if section.line.kind == "mask edge" else section
        for section in panel.sections
    )
    return (
        changed(panel, mask=np.zeros_like(panel.mask), sections=sections, time=panel.time + time),
        Used("unmask", time),
    )


def guide_coat(panel: Panel, *, area: Area = None, time: float = 60.0) -> tuple[Panel, Used]:
    """Dust a thin contrasting mist over an area: it has no thickness worth counting."""
    dusted = np.maximum(share_of(panel, area) * (panel.mask < 0.5), panel.guide_coat)
    return (
        changed(panel, guide_coat=dusted, time=panel.time + time),
        Used("guide_coat", time),
    )


def ramp_width(section: Section, layer: int = -1, low: float = 0.1, high: float = 0.9) -> np.ndarray:
    """Width (m) at each station over which a layer's film rises from 10 % to 90 %, from what lies under the tape."""
    film = section.thickness[layer] - section.thickness[layer][:, :1]
    full = film[:, -1:]
    between = (film > low * full) & (film < high * full)
    found: np.ndarray = np.count_nonzero(between, axis=1) * float(section.across[1] - section.across[0])
    return found
