"""Small computed panels for benches that must answer at once, and the tools and papers used on them.

Sanding is played in rungs of equal work, each on the panel that the one before left, and kept: a slider of work
moves between two rungs. More work then never leaves more film, however the block's places fall.
"""

from __future__ import annotations

import functools
from typing import Any, NamedTuple

import numpy as np

from coursekit import panel
from coursekit.lesson.learner import own
from coursekit.panel import Panel, Paper, Tool
from coursekit.repair.vocabulary import tools
from coursekit.uncertain import Coefficient

CELL = 5e-3
PIECE = (0.40, 0.30)  # m, of a door
LINE_HEIGHT = 0.15  # m; the body line runs along the middle of the piece
FLAT = (0.08, 0.32, 0.22, 0.25)  # m, a place away from line and edges
RUNG = 3e-6  # m taken off a flat
PADS = {"machine, hard pad": "machine pad", "machine, soft pad": "machine soft pad", "soft hand pad": "soft pad"}
WAYS = {"along": "x", "up and down": "y", "cross-hatch": "cross"}


def tool(name: str) -> Tool:
    """One of the blocks, boards and pads of the course, the soft ones as the learner measured theirs."""
    row = tools()[name]
    backing = row["backing"]
    backing = float(own.coefficient(backing.key) if isinstance(backing, Coefficient) else backing)
    if row.get("disc"):
        return panel.disc(name, row["length"], backing)
    return Tool(name, row["length"], row["width"], backing, row["bending"])


def paper(grade: Any, held: Tool, force: float) -> Paper:
    """A paper under that hand, as the learner measured it where they did."""
    return panel.paper_of(
        grade,
        held,
        force,
        wear_coefficient=own.coefficient("wear_coefficient"),
        scratch_factor=own.coefficient("scratch_factor"),
    )


class Job(NamedTuple):
    """Sanding of a piece of a door: its coats from the sheet up, the tool and how it is led."""

    coats: tuple[tuple[str, float], ...]
    tool: str
    grade: str
    force: float
    along: str = "cross"
    keep_off: float | None = None
    overhang: float = 0.25
    finer: float = 1.0  # below one: a preview


@functools.lru_cache(maxsize=256)
def rung(job: Job, held: Tool, number: int) -> Panel:
    """The piece after so many rungs of work."""
    if number == 0:
        shape = panel.door(*PIECE, CELL, line_height=LINE_HEIGHT)
        return panel.sheet_metal(shape, coats=job.coats, contamination=0.0)
    return worked(rung(job, held, number - 1), job, held, RUNG, number)


def worked(before: Panel, job: Job, held: Tool, removed: float, seed: int) -> Panel:
    """The piece after one act that takes so much off a flat."""
    sheet = panel.paper_of(job.grade, held, job.force)  # how fast it cuts does not matter: the work is given
    slid = removed / sheet.removal[job.coats[-1][0]] / (job.force / held.area)
    sanded, _ = panel.block(
        before,
        tool=held,
        paper=sheet,
        force=job.force,
        strokes=slid / held.length,
        along=job.along,
        keep_off=job.keep_off,
        overhang=job.overhang,
        seed=seed,
        finer=job.finer,
    )
    return sanded


class Cut(NamedTuple):
    """The top coat of a sanded piece: across a line, its least on the line, on the flat, and where it is through."""

    place: np.ndarray
    film: np.ndarray
    flat: float
    through: float  # share of the line's length
    relief: np.ndarray  # m, height of the sheet across the line

    @property
    def least(self) -> float:
        return float(self.film.min())


def cut(job: Job, removed: float, line: str = "body line") -> Cut:
    """The piece after work that takes that much off a flat."""
    held = tool(job.tool)
    if job.finer < 1:  # at once, without rungs
        start = rung(job, held, 0)
        return _across(start, worked(start, job, held, removed, 1), job, line)
    below = int(removed / RUNG)
    share = removed / RUNG - below
    ends = [_cut(job, held, number, line) for number in ((below, below + 1) if share > 1e-6 else (below, below))]
    film, flat, through = (
        (1 - share) * getattr(ends[0], name) + share * getattr(ends[1], name) for name in ("film", "flat", "through")
    )
    return Cut(ends[0].place, film, flat, through, ends[0].relief)


@functools.lru_cache(maxsize=256)
def _cut(job: Job, held: Tool, number: int, line: str) -> Cut:
    return _across(rung(job, held, 0), rung(job, held, number), job, line)


def _across(before: Panel, after: Panel, job: Job, line: str) -> Cut:
    material = job.coats[-1][0]
    found = next(section for section in after.sections if section.line.name == line)
    film = np.mean(
        [found.thickness[n].mean(axis=0) for n, layer in enumerate(after.layers) if layer.material == material],
        axis=0,
    )
    flat = after.film(material)[panel.cells_of(after, FLAT)].mean()
    through = panel.broken_through(before, after, material).lines.get(line, 0.0)
    return Cut(found.across, film, float(flat), through, found.line.profile(found.across))
