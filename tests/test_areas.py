"""Areas that hang on the damage or on a material: they move with it, and end at lines and short of edges."""

import pytest

from coursekit import repair
from coursekit.panel import SHAPES
from coursekit.quantities import InputError
from coursekit.repair.areas import OVER, place_of

HEAD = """format = 1
[panel]
shape = "door"
[panel.damage]
x = "{x}"
y = "470 mm"
width = "300 mm"
height = "160 mm"
low = "1 mm"
"""
STEPS = """[[step]]
do = "clean"
[[step]]
do = "fill"
area = { around = "damage", by = "80 mm" }
[[step]]
do = "wait"
time = "40 min"
[[step]]
do = "hand sand"
paper = "P320"
strokes = 30
area = { around = "filler", by = "100 mm", up_to = "body line", off_edges = "25 mm" }
[[step]]
do = "mask"
open = { around = "filler", by = "100 mm", off_edges = "25 mm" }
"""


def read(x="420 mm", steps=STEPS):
    return repair.loads(HEAD.replace("{x}", x) + steps)


def of(step, key):
    return getattr(step, key)


def test_an_area_hangs_on_the_damage_and_on_what_was_laid_on_it():
    steps = read().steps
    assert of(steps[1], "area") == pytest.approx((0.34, 0.80, 0.39, 0.71))
    assert of(steps[3], "area") == pytest.approx((0.24, 0.90, 0.30, 0.775))  # the line at 300 mm, the edge at 800
    assert of(steps[4], "open") == pytest.approx((0.24, 0.90, 0.29, 0.775))


def test_it_moves_with_the_damage_and_stays_where_it_was_written():
    moved = read().changed("panel", "damage", "x", to="520 mm")
    assert of(moved.steps[1], "area") == pytest.approx((0.44, 0.90, 0.39, 0.71))
    assert of(moved.steps[3], "area")[:2] == pytest.approx((0.34, 1.00))
    assert moved.written["step"][1]["area"] == {"around": "damage", "by": "80 mm"}


def test_it_ends_short_of_an_edge_or_goes_over_the_one_that_is_damaged():
    shape = SHAPES["door"]()
    inner = (0.4, 0.6, 0.5, 0.6)
    assert place_of(shape, inner, 0.5, off_edges=0.03) == pytest.approx((0.03, 1.1, 0.03, 0.77))
    at_the_edge = (0.4, 0.6, 0.5, 0.79)
    assert place_of(shape, at_the_edge, 0.1, off_edges=0.03)[3] == pytest.approx(0.8 + OVER)


@pytest.mark.parametrize(
    ("low", "high", "wanted"), [(0.4, 0.5, (0.3, 0.6)), (0.1, 0.2, (0.0, 0.3)), (0.2, 0.4, (0.1, 0.5))]
)
def test_it_ends_at_the_line_on_whose_side_it_lies(low, high, wanted):
    """Above, below, and across the line at 300 mm: what is across goes on."""
    assert place_of(SHAPES["door"](), (0.4, 0.6, low, high), 0.1, "body line")[2:] == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ('{ around = "surfacer", by = "1 mm" }', "surfacer"),
        ('{ around = "damage", bye = "1 mm" }', "Did you mean by"),
        ('{ around = "damage", by = "1 s" }', "not a length"),
        ('{ around = "damage", by = ["1 mm"] }', "not one value"),
        ('{ around = "damage", by = "-10 mm" }', "below the range"),
        ('{ around = "damage", up_to = "edge" }', "up_to"),
        ('{ around = 3, by = "1 mm" }', "around"),
    ],
)
def test_what_cannot_be_is_told_with_its_line(written, said):
    broken = STEPS.replace('{ around = "damage", by = "80 mm" }', written)
    with pytest.raises(InputError, match=r"line 14, step\.2\.area") as caught:
        read(steps=broken)
    assert said in str(caught.value)


def test_without_a_damage_there_is_nothing_to_hang_on():
    text = 'format = 1\n[panel]\nshape = "door"\n[[step]]\ndo = "clean"\narea = { around = "damage", by = "1 mm" }\n'
    with pytest.raises(InputError, match=r"step\.1\.area\.around"):
        repair.loads(text)


def test_what_hangs_on_a_film_over_the_whole_panel_is_the_whole_panel():
    text = 'format = 1\n[panel]\nshape = "door"\n[[step]]\ndo = "hand sand"\npaper = "P600"\nstrokes = 20\n'
    text += '[[step]]\ndo = "clean"\n[[step]]\ndo = "spray"\nmaterial = "base"\n'
    text += '[[step]]\ndo = "wait"\ntime = "1 h"\n[[step]]\ndo = "clean"\narea = { around = "base" }\n'
    assert of(repair.loads(text).steps[-1], "area") is None
