"""What painters do, as checks of sanding: common practice, no source, unless a test names one.

The trade says "320" and "600" without a scale, so each check holds for both readings, P and CAMI.
"""

from itertools import pairwise

import numpy as np
import pytest

from coursekit import sanding
from coursekit.belief import band

SCALE = pytest.mark.parametrize("scale", ["P", "CAMI"])
HAND = pytest.mark.parametrize(
    ("force", "block"),
    [
        ("10 N", "70 x 125 mm"),
        ("40 N", "70 x 125 mm"),
        ("10 N", "70 x 400 mm"),
        ("40 N", "70 x 400 mm"),
    ],
)


@SCALE
@HAND
def test_one_thin_coat_covers_the_scratches_of_320(scale, force, block):
    """Common practice, no source: a thin coat is 10 to 40 µm dry, the deepest scratch a few µm."""
    recoat = sanding.thinnest_recoat(f"{scale} 320", f"{scale} 600", force, block, "surfacer")
    assert recoat.verdict == "one thin coat" and recoat.film.high.m <= 40
    assert recoat.fill.high.m < 10 and recoat.fill.high < recoat.film.high


@SCALE
def test_a_recoat_over_the_scratches_of_40_is_more_than_a_thin_coat(scale):
    """The other side: the check above could fail."""
    coarse = sanding.thinnest_recoat("P40", f"{scale} 600", "40 N", "70 x 125 mm", "filler")
    assert coarse.verdict == "more than a thin coat"


@SCALE
@HAND
def test_600_buries_320_without_going_through_a_thin_coat(scale, force, block):
    """Common practice, no source."""
    step = sanding.judge_sequence([f"{scale} 320", f"{scale} 600"], force, block, "surfacer", "20 µm")[1]
    assert step.verdict == "go" and step.film_left.low.m > 0
    assert 1 < step.strokes.middle.m < 200


@SCALE
@HAND
def test_filler_goes_from_80_to_180(scale, force, block):
    """refinishing-book-2022, p. 200: 40, then 80, then 180."""
    steps = sanding.judge_sequence([f"{scale} 80", f"{scale} 180"], force, block, "filler", "0.5 mm")
    assert [step.verdict for step in steps] == ["go", "go"]


@SCALE
@HAND
def test_surfacer_goes_from_320_to_600_however_far_apart_the_grains(scale, force, block):
    """Common practice, no source: 320, then 600, in two coats of 75 to 150 µm."""
    steps = sanding.judge_sequence([f"{scale} 320", f"{scale} 600"], force, block, "surfacer", "75 µm")
    assert [step.verdict for step in steps] == ["go", "go"]


@SCALE
@HAND
def test_600_leaves_a_scratch_that_base_and_clear_hide(scale, force, block):
    """Common practice, no source: hidden is narrower than workshop tubes show, and 80 is not hidden."""

    def widest(grade):
        deepest = sanding.scratch_depth(grade, sanding.block_pressure(force, block), "old paint").deepest.high
        return sanding.scratch_width(sanding.show_through(deepest))

    assert widest(f"{scale} 600") < sanding.seen_width("tubes") / 4
    bare = sanding.scratch_depth(f"{scale} 80", sanding.block_pressure("40 N", "70 x 125 mm"), "old paint").deepest
    assert sanding.scratch_width(bare.high) > sanding.seen_width("tubes")


def test_near_a_body_line_the_same_work_costs_more_film():
    """Common practice, no source."""
    ratio = sanding.edge_overhang_pressure.si(np.linspace(0, 0.45, 10))
    assert ratio[0] == 1 and np.all(np.diff(ratio) > 0)


def test_a_board_leaves_the_waves_that_are_longer_than_itself():
    """Common practice, no source: it bridges half its length, it rides on twice."""
    board = 0.4
    assert sanding.levelling_factor.si(board, board / 2) > 0.9
    assert sanding.levelling_factor.si(board, 2 * board) < 0.15
    assert sanding.levelling_factor.si(board, 4 * board) < 0.01


def test_the_flat_on_a_curve_narrows_as_the_pad_softens():
    """Common practice, no source: hard pad, soft pad, interface pad on a crown of 1 and of 3 m."""
    for radius in (1.0, 3.0):
        flats = [sanding.flat_width.si(10e-6, 2e3, 0.15, radius, k) for k in (1e10, 1e9, 1e8, 1e7)]
        assert all(hard > soft for hard, soft in pairwise(flats))
        assert flats[-1] < 0.25 * flats[0]


def test_flattening_and_polishing_can_stay_within_the_budget():
    """bulletin-1993 allows 12 to 15 strokes of 2000 paper and re-clears beyond 0.5 mil."""
    for grade in ("P2000", "CAMI 1000"):
        off = band(sanding.removal, "5 kPa", "2.25 m", grade, "200 MPa")
        assert off.high.m < 12.7
        assert sanding.polishing_budget("50 µm", off.high).verdict == "go"


def test_a_short_block_leaves_waves():
    """What the trade blames for waves; common practice, no source: the block is too short."""
    wave = 0.3
    assert sanding.levelling_factor.si(0.125, wave) < 0.06 < 0.9 < sanding.levelling_factor.si(0.4, wave)
