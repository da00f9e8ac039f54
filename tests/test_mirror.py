"""The panel as the eye sees it: waves bend the stripes, roughness takes them, water gives them back."""

from dataclasses import replace

import numpy as np
import pytest

from coursekit import colour, lesson, panel
from coursekit.panel import mirror
from coursekit.panel.mirror import BOARD, BRIGHT, EYE, PITCH, ROOM, SIGHT, TUBE, Light, clarity, seen
from coursekit.panel.state import changed

GLOSSY = (("base", 15e-6), ("clear", 50e-6))


def card(dents=0.0, coats=GLOSSY, **more):
    return panel.sheet_metal(panel.test_card(0.4, 0.2, 2.5e-3), dents=dents, coats=coats, contamination=0.0, **more)


def bright(picture):
    """Brightness of each point, 0 to 255."""
    return picture.palette[picture.codes].mean(axis=2)


def edges(picture, row):
    line = bright(picture)[row]
    return np.flatnonzero(np.diff((line > (line.max() + line.min()) / 2).astype(int)))


def test_a_lean_moves_the_line_as_the_exact_mirror_does():
    lean, look = 1.5e-3, mirror._look((80, 160), 2.5e-3, "upright")
    row, column = 40, 80  # the middle: the sight meets the panel at 60°, the board stands 1 m off
    exact = BOARD * np.tan(2 * lean)
    assert abs(look.along[row, column]) * lean == pytest.approx(exact, rel=0.02)
    assert abs(look.along[row, column]) == pytest.approx(colour.line_shift.si(1.0, BOARD), rel=0.02)
    # across the plane of sight it turns less, by the cosine
    level = mirror._look((80, 160), 2.5e-3, "level")
    assert abs(level.up[row, column]) == pytest.approx(2 * np.cos(SIGHT) * BOARD, rel=0.05)
    assert EYE > BOARD


def test_stripes_run_straight_over_a_flat_card_and_bend_over_a_wave():
    shape = panel.test_card(0.4, 0.2, 2.5e-3)
    low = -100e-6 * np.exp(-((shape.x - 0.2) ** 2 + (shape.y[:, None] - 0.1) ** 2) / (2 * 0.02**2))
    flat, bent = seen(card(), width=320), seen(card(low), width=320)
    beside, through = 5, 80
    assert len(edges(flat, through)) > 6
    assert np.abs(edges(flat, through) - edges(flat, beside)).max() < 12
    # By hand: over a flat card a point of the board lies (EYE + BOARD) / EYE · cos 60° = 0.81 m on for each metre; a
    # lean moves it by 2 lean · BOARD. The radius of the dent is (20 mm)² / 100 µm = 4 m: its focus, 2 m, lies behind
    # the board, so it magnifies and lines move outwards.
    was, now = (edges(picture, through) for picture in (flat, bent))
    assert len(was) == len(now)
    point = 0.4 / 320
    from_middle = (now + 1) * point - 0.2
    lean = 100e-6 * from_middle / 0.02**2 * np.exp(-(from_middle**2) / (2 * 0.02**2))
    out = 2 * lean * BOARD / ((EYE + BOARD) / EYE * np.cos(SIGHT))
    assert np.abs(out).max() / point > 4  # half or twice of it is no rounding
    assert (now - was) * point == pytest.approx(out, abs=1.2 * point)
    assert np.array_equal(was[:5], now[:5]) and np.array_equal(was[-4:], now[-4:])


def test_dull_surfacer_shows_no_stripes_until_it_is_wet():
    dull = card(coats=(("surfacer", 80e-6),))
    assert clarity(dull) < 0.02 < 0.1 < clarity(dull, wet=True)
    assert bright(seen(dull)).std() < 5 < bright(seen(dull, Light(wet=True))).std()
    assert (
        bright(seen(dull, Light("daylight alone", wet=True))).mean()
        < bright(seen(dull, Light("daylight alone"))).mean()
    )
    assert clarity(card()) > 0.4


def test_scratches_take_the_gloss_from_clear():
    fine, coarse = (changed(card(), scratch=np.full((80, 160), depth)) for depth in (0.15e-6, 2e-6))
    assert clarity(card()) > clarity(fine) > clarity(coarse)
    assert clarity(coarse) < 0.02


def test_orange_peel_breaks_the_edge_of_the_stripes():
    smooth, rough = seen(card(), width=320), seen(card(texture=2e-6), width=320)
    assert len(edges(rough, 80)) > 0
    ragged = [np.abs(np.diff(bright(one), axis=0)).mean() for one in (smooth, rough)]
    assert ragged[1] > 2 * ragged[0]
    assert clarity(card(texture=2e-6)) < clarity(card())


def on_board(x):
    """Where on the board somebody looks who looks at x, from the middle of a flat panel: by the eye's image."""
    return (EYE + BOARD) * x * np.cos(SIGHT) / (EYE + x * np.sin(SIGHT))


def test_lines_of_the_board_stand_where_the_image_of_the_eye_puts_them():
    at = on_board((edges(seen(card(), width=320), 80) + 1) * 0.4 / 320 - 0.2)
    assert at == pytest.approx(PITCH / 2 * np.round(at / (PITCH / 2)), abs=1.2e-3)  # a point of the picture
    assert np.round(np.diff(at) / (PITCH / 2)) == pytest.approx(1)  # none is left out


@pytest.mark.parametrize("place", [0.42, 0.5, 0.58])
def test_a_tube_lamp_moves_over_the_panel(place):
    """The whole way of the lamp is 1.6 m of the board; it is as wide as the tube."""
    line = bright(seen(card(), Light("tube lamp", place), width=320))[80]
    lit = np.flatnonzero(line > (line.max() + line.min()) / 2)
    ends = on_board((lit[[0, -1]] + (0, 1)) * 0.4 / 320 - 0.2)
    assert ends.mean() == pytest.approx((place - 0.5) * 1.6, abs=1.5e-3)
    assert TUBE < np.ptp(ends) < 1.25 * TUBE  # so bright that the blur beside it is white, too


def test_contrast_of_the_stripes_as_reckoned_by_hand():
    """At 60° clear of index 1.5 mirrors 8.92 % (Fresnel); 5 nm of roughness leave 99.7 % of it sharp."""
    mirrors, sharp, colour_of_clear = 0.0892, 0.9967, (0.01229 + 0.05781 + 0.18782) / 3
    wide, mean = BRIGHT["striped board"], ROOM["striped board"] + BRIGHT["striped board"] / 2
    assert clarity(card()) == pytest.approx(
        mirrors * sharp * wide / (2 * (mirrors * mean + colour_of_clear)), rel=3e-3
    )


def test_guide_coat_is_black_specks_and_goes_with_its_share():
    dusted, _ = panel.guide_coat(card(coats=(("surfacer", 80e-6),)))
    half = changed(dusted, guide_coat=0.4 * dusted.guide_coat)
    dark = [(bright(seen(one)) < 90).mean() for one in (card(coats=(("surfacer", 80e-6),)), half, dusted)]
    assert dark[0] < 0.01 and dark[1] == pytest.approx(0.4 * dark[2], rel=0.05)
    assert 0.7 < dark[2] < 0.98  # from memory: a light dusting, dark all over, with the surfacer between its specks
    left_sanded = changed(dusted, guide_coat=np.where(np.arange(160) < 80, 0, dusted.guide_coat))
    sides = np.array_split(bright(seen(left_sanded)) < 90, 2, axis=1)
    assert sides[0].mean() < 0.01 and sides[1].mean() == pytest.approx(dark[2], rel=0.03)


def grey_of(shade):
    """What a print without colour makes of it, 0 to 255: its luminance (IEC 61966-2-1), encoded again."""
    linear = [(value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4) for value in parts(shade)]
    luminance = float(np.dot(linear, (0.2126, 0.7152, 0.0722)))
    return 255 * (12.92 * luminance if luminance <= 0.0031308 else 1.055 * luminance ** (1 / 2.4) - 0.055)


def parts(shade):
    return [int(shade[at : at + 2], 16) / 255 for at in (1, 3, 5)]


def test_materials_differ_in_grey_or_in_their_pattern():
    looks = mirror.surfaces()
    grey = {name: grey_of(mirror.shade(name)) for name in looks}
    order = list(looks)
    assert len(order) == 9 and "bare plastic" in order
    for number, one in enumerate(order):
        for other in order[:number]:
            apart = abs(grey[one] - grey[other]) >= 18 or looks[one].pattern != looks[other].pattern
            assert apart or {one, other} <= {"old paint", "clear"}, f"{one} and {other} look alike"


@pytest.mark.parametrize(("sheet", "name"), [("steel", "bare metal"), ("plastic", "bare plastic")])
def test_a_bare_sheet_is_drawn_in_its_own_colour(sheet, name):
    bare = panel.sheet_metal(replace(panel.test_card(0.4, 0.2, 2.5e-3), sheet=sheet))
    shown = seen(bare, Light("daylight alone"))
    assert shown.share == {name: 1}
    common = shown.palette[np.bincount(shown.codes.ravel()).argmax()]  # between the marks of its pattern
    mirrors = mirror.surfaces()[name].mirrors or 0.0892  # at 60°; metal is told by a print, plastic is as clear is
    linear = mirror.surfaces()[name].colour + mirrors * ROOM["daylight alone"]
    assert common == pytest.approx(
        255 * (1.055 * linear ** (1 / 2.4) - 0.055), abs=4
    )  # a step of its palette, other angles


def test_a_bench_moves_its_light_without_computing():
    bench = lesson.bench("guide-coat")
    before, result = bench.html, bench._finished()
    bench.shine(wet=True)
    assert bench.html != before
    assert bench._finished() is result
    bench.shine(wet=False)
    assert bench.html == before
