"""Sanding gives its limit: shown by going past the setting in use, on a handful of small repairs."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import brentq

from coursekit import panel, repair
from coursekit.panel import region, sections
from coursekit.panel.looks import below_zero
from coursekit.repair.vocabulary import tools
from tests import direct_contact
from tests.benchmarks.bench_convergence import CARD, apart, played, random_recipe

CELL = 5e-3


@pytest.mark.parametrize(
    "text", [CARD, *map(random_recipe, (3, 10, 14))], ids=["card", "board on a crown", "plain panel", "door"]
)
def test_twice_the_visits_change_nothing_that_counts(text):
    recipe = repair.loads(text)
    for one, other in zip(played(recipe, 1.0), played(recipe, 2.0), strict=True):
        assert max(apart(one, other).values()) < 1, apart(one, other)


@pytest.mark.parametrize("number", [5, 12, 20, 25])
def test_smaller_cells_change_waves_and_film_little(number):
    recipe = repair.loads(random_recipe(number))
    finer = recipe.changed("panel", "cell", to="3.5 mm")
    for one, other in zip(played(recipe, 1.0), played(finer, 1.0), strict=True):
        assert max(apart(one, other).values()) < 1, apart(one, other)


@pytest.mark.parametrize(
    "cells", [np.array([5.0, 5.0]), np.array([3.5, 3.5, 3.0]), np.full(4, 2.5), np.array([10.0])]
)
@pytest.mark.parametrize("slope", [0.1, 0.01, -0.02])
def test_middle_of_a_pressure_that_rises_to_an_edge_is_exact_at_any_cell(cells, slope):
    """Pressure 1 + slope · x over the 10 mm before an edge whose last 2 mm are folded away, summed by the cell."""
    ends = np.minimum(np.r_[0, np.cumsum(cells)], 8.0)
    widths, middles = np.diff(ends), (ends[1:] + ends[:-1]) / 2
    loads = (1 + slope * middles) * widths
    found = sections._middle(loads[None], loads.sum(keepdims=True), middles[None], widths[None])
    exact = (8**2 / 2 + slope * 8**3 / 3) / loads.sum()
    assert found == pytest.approx(exact if len(cells) > 1 else 4.0, rel=1e-9), "a cell alone says nothing of a slope"
    even = sections._middle(loads[None], loads.sum(keepdims=True), middles[None], 0 * widths[None])
    assert even == pytest.approx(loads @ middles / loads.sum())


@pytest.mark.parametrize("cell", [4e-3, 3.5e-3, 2.5e-3])
def test_filler_spread_does_not_depend_on_the_cell(cell):
    volumes = []
    for size in (5e-3, cell):
        shape = panel.door(cell=size)
        edge = np.hypot(np.maximum(abs(shape.x - 0.57) - 0.15, 0), np.maximum(abs(shape.y - 0.55) - 0.08, 0)[:, None])
        dents = np.where(edge > 0.06, 0.0, -1e-3 * (1 - edge / 0.06))
        _, used = panel.fill(panel.sheet_metal(shape, dents=dents), area=(0.339, 0.802, 0.402, 0.697), ripple=0.0)
        volumes.append(used.solids.laid)
    assert volumes[1] == pytest.approx(volumes[0], rel=2e-3)


@pytest.mark.parametrize("cell", [5e-3, 3.5e-3, 3e-3])
def test_an_opening_up_to_the_panels_end_leaves_no_tape_there(cell):
    door = panel.sheet_metal(panel.door(cell=cell))
    masked, used = panel.mask(door, area=(0.3, 0.9, 0.4, 0.8), outside=True)
    names = [section.line.name for section in masked.sections if section.line.kind == "mask edge"]
    assert len(names) == 3 and not any("upper" in name for name in names)
    assert used.area == pytest.approx(1.2 * 0.8 - 0.6 * 0.4, rel=5e-3)
    assert masked.mask[-1, np.abs(door.shape.x - 0.6) < 0.25].max() == 0


def test_without_a_hand_nothing_depends_on_a_seed_and_with_one_it_does():
    before = panel.sheet_metal(panel.test_card(), coats=(("surfacer", 1e-4),))
    tool = panel.Tool("block", 0.125, 0.07, 1e9)
    settings = {"tool": tool, "paper": panel.paper_of("P320", tool, 20.0), "force": 20.0, "strokes": 40}
    films = [
        panel.block(before, **settings, seed=seed, hand=hand)[0].film() for seed in (1, 2) for hand in (0.0, 0.1)
    ]
    assert (films[0] == films[2]).all() and not np.allclose(films[1], films[3], rtol=1e-3)


@pytest.mark.parametrize("tool", ["hand block", "long board"])
def test_more_strokes_never_leave_more_on_a_body_line(tool):
    shape = panel.door(0.4, 0.2, line_height=0.1)
    door = panel.sheet_metal(shape, coats=(("old primer", 5e-5), ("surfacer", 3e-5)), contamination=0.0)
    row = tools()[tool]
    held = panel.Tool(tool, row["length"], row["width"], row["backing"], row["bending"])
    through = []
    for strokes in (40, 80, 120, 160, 320):
        after, _ = panel.block(door, tool=held, paper=panel.paper_of("P320", held, 20.0), force=20.0, strokes=strokes)
        through.append(panel.broken_through(door, after, "surfacer").lines["body line"])
    assert all(b >= a - 0.02 for a, b in pairwise(through)) and through[-1] > 0.9


@pytest.mark.parametrize(
    ("name", "wavelength"),
    [
        ("hand block", 0.05),
        ("hand block", 0.10),
        ("long board", 0.05),
        ("long board", 0.10),
        ("rubber block", 0.05),
        ("stiff board", 0.10),
        ("stiff board", 0.20),
        ("stiff board", 0.40),
        ("foam block", 0.05),
    ],
)
def test_blocks_and_boards_level_as_a_free_beam_does(name, wavelength):
    # Every place by itself on a flat: a rigid block by filling up, a board as a beam by finite differences. Waves of
    # which more than a tenth goes, within a tenth.
    row = tools()[name]
    length, backing, bending = row["length"], float(row["backing"]), row["bending"]
    pressure = 20.0 / (length * row["width"])
    n, amplitude, wear = round(length / CELL), 0.2 * pressure / backing, 0.3
    span = max(2 * wavelength, length, 0.3)
    x = (np.arange(round(span / CELL) + 2 * n) - round(span / CELL) / 2 - n + 0.5) * CELL
    surface, inner = amplitude * np.cos(2 * np.pi * x / wavelength), np.abs(x) < span / 2
    if np.isinf(bending):
        mean = direct_contact.mean_pressure(surface, n, backing, pressure * length, CELL)
    else:
        mean = np.zeros_like(surface)
        for start in range(0, len(x) - n + 1, 2):
            under = slice(start, start + n)
            mean[under] += (
                2 / n * direct_contact.bent_pressures(surface[under], backing, pressure * length, CELL, bending)
            )
    direct = share(mean, x, inner, wavelength) / (backing * amplitude)

    shape = panel.test_card(len(x) * CELL, 0.3, CELL)
    before = panel.sheet_metal(shape, dents=np.tile(surface, (len(shape.y), 1)), coats=(("surfacer", 2e-3),))
    rate = 2.3e-10
    paper = panel.Paper("one rate", dict.fromkeys(panel.MATERIALS, 0.0), dict.fromkeys(panel.MATERIALS, rate))
    tool = panel.Tool(name, length, row["width"], backing, bending)
    after, _ = panel.block(
        before,
        tool=tool,
        paper=paper,
        force=pressure * tool.area,
        along="x",
        overhang=0.0,
        strokes=wear / (rate * backing) / length,
    )
    left = after.surface[len(shape.y) // 2 - 4 : len(shape.y) // 2 + 4].mean(axis=0)
    ours = -np.log(share(left, x, inner, wavelength) / amplitude) / wear
    assert direct > 0.1 and ours == pytest.approx(direct, rel=0.10)


def share(values, x, inner, wavelength):
    """Amplitude of the wave in a profile, beside one of the other phase and a slow trend."""
    k, x, values = 2 * np.pi / wavelength, x[inner], values[inner]
    terms = np.stack([np.cos(k * x), np.sin(k * x), np.ones_like(x), x, x**2], axis=1)
    return np.linalg.lstsq(terms, values, rcond=None)[0][0]


def test_a_board_bends_in_as_many_waves_as_it_follows():
    board = tools()["long board"]
    long = panel.Tool("long board", board["length"], board["width"], board["backing"], board["bending"])
    assert region._degree(long, long.length) > 4 * np.pi  # four waves of 100 mm under 400 mm: π places to a wave


@pytest.mark.parametrize("offset", [0.0, 1.3e-3, 2.9e-3])
@pytest.mark.parametrize("cell", [5e-3, 3.5e-3])
def test_broken_through_is_what_the_film_lost_and_not_what_was_bare(cell, offset):
    """Film that runs out like old paint feathered over 60 mm, cut by 3 µm all along: known in closed form."""
    card = panel.sheet_metal(panel.test_card(0.35, 0.14, cell), coats=(("old primer", 50e-6), ("old clear", 45e-6)))
    rise = np.clip((card.shape.x - 0.12 - offset) / 0.06, 0, 1)
    film = 45e-6 * rise**2 * (3 - 2 * rise) + np.zeros(card.dents.shape)
    left = np.maximum(film - 3e-6, 0)
    primer = card.layers[1].thickness - (3e-6 - (film - left))
    before, after = (
        replace(
            card,
            layers=(card.layers[0], replace(card.layers[1], thickness=under), replace(card.layers[2], thickness=top)),
        )
        for under, top in ((card.layers[1].thickness, film), (primer, left))
    )
    ends = [brentq(lambda r, t=t: 45e-6 * r**2 * (3 - 2 * r) - t, 0, 1) * 0.06 for t in (0.1e-6, 3.1e-6)]
    broken = panel.broken_through(before, after, "old clear")
    assert broken.area == pytest.approx(0.14 * (ends[1] - ends[0]), abs=0.14 * cell / 5), "a fifth of a cell"
    assert panel.broken_through(before, before, "old clear").area == 0


def test_share_of_a_cell_below_a_plane_is_exact_far_off_it():
    found = below_zero(np.array([-2e-5, 2e-5, 0.0]), np.zeros(3), np.array([0.0, 0.0, 1e-6]))
    assert found == pytest.approx([1, 0, 0.5], abs=1e-6)
