"""Drawings of a bench: their language, and that each moves with what is computed."""

import html
import itertools
import math
import re

import numpy as np
import pytest

from coursekit import lesson
from coursekit.drawing import corners
from coursekit.figure import Axis
from coursekit.lesson.content.benches import day
from coursekit.lesson.draw import (
    bridging,
    charts,
    colour_maps,
    comb,
    defects,
    drawing,
    gear,
    overhang,
    picture,
    rim,
    wiping,
    zones,
)
from coursekit.panel.mirror import Light, shade, surfaces


@pytest.mark.parametrize("places", [[5, 6, 7], [95, 96, 97], [50, 10, 50, 12], [40]])
def test_words_keep_clear(places):
    found = drawing.apart(places, 10, 0, 100)
    ordered = sorted(found)
    assert min(found) >= 0 and max(found) <= 100
    assert all(b - a >= 10 - 1e-9 for a, b in itertools.pairwise(ordered))
    assert [x for _, x in sorted(zip(places, found, strict=True))] == ordered, "the order of the things"


def test_specks_stay_in_their_area_and_more_of_them_keep_the_first():
    few, many = (str(drawing.specks(n, corners(10, 20, 30, 40), 1.0)) for n in (5, 50))
    places = re.findall(r"M ([\d.]+) ([\d.]+)", many)
    assert len(places) == 50
    assert all(10 <= float(x) <= 40 and 20 <= float(y) <= 60 for x, y in places)
    assert re.findall(r"M ([\d.]+) ([\d.]+)", few) == places[:5]
    assert not drawing.specks(0, corners(0, 0, 1, 1))


@pytest.mark.parametrize("name", sorted(surfaces()))
def test_a_material_has_its_colour_and_its_pattern(name):
    drawn = str(drawing.box_of(name, 0, 0, 60, 40))
    assert shade(name) in drawn
    patterned = surfaces()[name].pattern != "plain"
    assert ("ck-hatch" in drawn) == (patterned or name == "clear")
    above = str(drawing.material(name, corners(0, 0, 60, 40), above=True))
    assert ("ck-hatch" in above) == patterned, "clear shows what lies under it"
    assert not drawing.box_of(name, 0, 0, 0, 40)


def test_an_arrow_ends_where_it_is_told_to():
    assert "50.0,20.0" in str(drawing.arrow(10, 20, 50, 20))
    assert not drawing.arrow(10, 20, 10, 20)


def test_the_needle_of_a_gauge_turns_with_the_pressure():
    assert drawing.gauge(0, 0, 0.2) != drawing.gauge(0, 0, 0.3)
    assert drawing.gauge(0, 0, 1.0) == drawing.gauge(0, 0, 3.0), "it stops at its end"


def drawn(key, **moved):
    """The picture of a bench at a setting; of a drawing, not of its sentence."""
    return str(lesson.bench(key).set(**moved).picture_html)


def differ(key, **moved):
    """Whether the drawing alone, without what its words and charts say, is another after a move."""
    before, after = (re.findall(r"<svg.*?</svg>", one, re.S)[0] for one in (drawn(key), drawn(key, **moved)))
    shapes = [re.sub(r"<text.*?</text>", "", one, flags=re.S) for one in (before, after)]
    return shapes[0] != shapes[1]


@pytest.mark.parametrize(
    "moved",
    [{"turns": "3"}, {"tip_bore": "1.8 mm"}, {"gun_inlet_pressure": "2 bar"}, {"kinematic_viscosity": "90 mm²/s"}],
)
def test_the_gun_cut_open_moves_with_its_knob_tip_air_and_paint(moved):
    assert differ("gun-fluid", **moved)


def test_the_needle_stands_back_as_far_as_the_knob_lets_it():
    found = lesson.bench("gun-fluid").set(turns="3", tip_bore="1.4 mm").result
    assert found.back == pytest.approx(3 * 1e-3, rel=0.1), "a pitch of about 1 mm"
    # The side of a cone, cut off where the needle's axis is that far behind its seat.
    slant = found.back * math.sin(found.half_angle)
    by_hand = math.pi * slant * (1.4e-3 - slant * math.cos(found.half_angle)) / (math.pi / 4 * 1.4e-3**2)
    assert found.open == pytest.approx(by_hand)


@pytest.mark.parametrize("moved", [{"gauge_pressure": "1.4 bar"}, {"air_gauge": "cap"}])
def test_the_needles_of_both_gauges_follow_the_air(moved):
    assert differ("gun-air", **moved)


def test_the_door_is_split_and_the_losses_mirrored():
    bench = lesson.bench("what-if").set(gun_inlet_pressure="1 bar")
    drawn_so = bench.picture_html
    now, kept = (100 * one.coat.bands.mist.high for one in (bench.now, bench.now.pinned))
    assert drawn_so.count("<img") == 1, "one door"
    for side, high in (("start", now), ("end", kept)):
        assert re.search(rf'text-anchor="{side}"[^>]*>\d+ to {high:.0f}<', drawn_so), (side, high)
    # Whiskers from the middle line to scale: 302 px are 40 parts.
    ends = [float(one) for one in re.findall(r"m 0 -6 H ([\d.]+) m 0 -6", drawn_so)]
    assert ends[:2] == pytest.approx([318 - 0 + 302 / 40 * now, 318 - 302 / 40 * kept], abs=0.2)
    assert "less now in all of the guns" in drawn_so
    bench.unpin_setting()
    assert "pinned" not in re.sub('aria-label="[^"]*"', "", bench.picture_html)


def test_each_drop_is_drawn_to_where_it_lands():
    bench = lesson.bench("mist-drift").set(diameter="50 µm", draught="0.2 m/s")
    far = bench.result.distance
    assert far < 6
    place = f'cx="{40 + 78 * far:.1f}" cy="212"'.replace(".0", "")
    assert place in bench.picture_html, "78 px a metre, from the gun at 40 px"
    bench.set(diameter="20 µm")
    assert bench.result.distance > 6 and f"20 µm: {bench.now.distance:2}" in bench.picture_html, "out of the door"
    assert differ("mist-drift", fall_height="0.8 m") and differ("mist-drift", draught="0.6 m/s")


def test_the_receiver_empties_while_the_trigger_is_held():
    bench = lesson.bench("air-supply")
    left = []
    for held in ("0 s", "100 s", "200 s"):
        bench.set(held=held)
        drawing_alone = bench.picture_html.partition("</svg>")[0]
        left.append((bench.result.at_held.receiver_pressure, drawing_alone.count("h 0.1")))
        assert f"{bench.now.at_held.gun_inlet_pressure:2}</text>" in drawing_alone
    # Free air of the receiver falls by what the gun takes over what the compressor gives.
    used = bench.result.at_held.air_use - 150e-3 / 60
    assert left[0][0] - left[1][0] == pytest.approx(100 * used / 50e-3 * 101325, rel=0.02)
    assert left[1][1] / left[0][1] == pytest.approx(left[1][0] / left[0][0], rel=0.02), "dots as dense as the air"
    assert all(differ("air-supply", **moved) for moved in ({"bore": "12 mm"}, {"regulator_pressure": "3 bar"}))


def test_the_door_is_drawn_as_large_as_its_area_and_its_cup_as_full():
    def of(**moved):
        bench = lesson.bench("door").set(**moved)
        fills = [float(one) for one in re.findall(r'd="M 222 ([\d.]+) H 320"', bench.picture_html)]
        corner = re.search(r'<polygon points="([\d.]+),[\d.]+ ([\d.]+),', bench.picture_html)
        return bench.result, fills, float(corner[2]) - float(corner[1])

    large, fills, wide = of(area="1.2 m²")
    _, less, narrow = of(area="0.3 m²")
    assert wide / narrow == pytest.approx(2, rel=0.02), "four times the area"
    # 150 px are 1 L: the middle of each band, part upon part.
    poured = [sum(part.middle for part in large.parts[: n + 1]) for n in range(3)]
    assert fills == pytest.approx([196 - 150e3 * one for one in poured], abs=0.11)
    assert len(less) == 3, "in a smaller cup"
    bench = lesson.bench("door")
    bench.pin_setting()
    assert "pinned</text>" in bench.set(dry_film="60 µm").picture_html


@pytest.mark.parametrize(
    "moved",
    [{"gun_distance": "225 mm"}, {"tilt": "15 °"}, {"overlap": "65 %"}, {"lead": "100 mm"}, {"fan_opening": "100 %"}],
)
def test_hand_and_gun_move_with_their_sliders(moved):
    assert differ("door-film", **moved)


def test_as_many_passes_are_drawn_as_are_sprayed():
    bench = lesson.bench("door-film")
    for overlap in ("40 %", "60 %"):
        bench.set(overlap=overlap)
        way = bench.picture_html.partition("</svg>")[0]
        assert way.count('r="3" fill="currentColor"') == bench.result.passes, "a trigger pulled for each"


def test_the_gear_is_the_same_at_any_number_and_stands_by_the_caution():
    drawn_at = [
        drawn("isocyanate-air", isocyanate_level=level).partition("</svg>")[0] for level in ("0 µg/m³", "900 µg/m³")
    ]
    bodies = [one.partition("<svg")[2] for one in drawn_at]
    assert bodies[0] == bodies[1], "no number talks the hood away"
    for words in ("air fed into it", "not for this", "not breathing air", "licensed practice decide"):
        assert words in bodies[0]
    assert differ("isocyanate-air", sprayed="not sprayed"), "the mist round the painter"
    found = [html.unescape(lesson.cautions(topic).html) for topic in ("isocyanate", "dust")]
    assert [gear.SAID in one for one in found] == [True, False]


def test_vapour_is_drawn_as_dense_as_it_is_computed():
    for volume in ("100 mL", "200 mL"):
        bench = lesson.bench("room-vapour").set(paint_volume=volume)
        found = bench.result
        first = bench.picture_html.partition("</svg>")[0]
        dots = sum(round(12 * float(max(one)) / found.limit) for one in (found.air.poorly_mixed, found.air.mixed))
        assert first.count("h 0.1") == dots, "12 dots a half are the limit for health"
        assert "no mist drawn" in first
    assert differ("room-vapour", air_changes="10 /h")


def test_the_arrows_of_fresh_air_grow_and_the_mist_stays():
    plans = [drawn("fresh-air", paint_volume=volume).partition("</svg>")[0] for volume in ("200 mL", "600 mL")]
    widths = [[float(one) for one in re.findall(r'stroke-width="([\d.]+)"', plan)] for plan in plans]
    assert max(widths[1]) > max(widths[0])
    assert [plan.count("h 0.1") for plan in plans] == [120, 120], "no amount of air answers it"


def test_the_hours_stand_on_the_axis_of_the_day_itself():
    bench = lesson.bench("day")
    hours = bench.result.hours
    silent = [number for number, hour in enumerate(hours) if not hour.against]
    plot = 626 - 70  # px of 24 h, from 70 px on
    left, width = 70 + plot * silent[0] / 24, plot * len(silent) / 24
    boxes = re.findall(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"', bench.picture_html)
    assert any(abs(float(x) - left) < 0.1 and abs(float(w) - width) < 0.1 for x, w in boxes)
    assert "which is no yes" in bench.picture_html
    bench.set(coldest="-5 °C", warmest="5 °C", dew_point="-8 °C")
    assert "which is no yes" not in bench.picture_html.partition("<svg")[2], "no hour is silent"


def test_film_comb_and_gauge_stand_to_one_scale():
    for wet in ("120 µm", "100 µm"):
        bench = lesson.bench("film").set(wet_film=wet, volume_solids="50 %")
        first = bench.picture_html.partition("</svg>")[0]
        # The dashed box is what went off: half of the film, 92 px for a comb of 150 µm.
        gone = float(re.search(r'height="([\d.]+)"[^>]*stroke-dasharray="6 4"', first)[1])
        assert gone == pytest.approx(92 / 150e-6 * bench.now.wet_film.si / 2, abs=0.1)
        assert f">{bench.now.dry}</text>" in first, "what the gauge reads"


def test_the_cover_is_drawn_as_wide_as_it_reaches():
    scale = (400 - 92) / 2.4
    for reach in (0.1, 0.2):
        picture = lesson.bench("neighbour").set(cover=f"{reach} m").picture_html
        widths = [
            max(x) - min(x)
            for points in re.findall(r'<polygon points="([^"]+)"', picture)
            if (x := [float(place.split(",")[0]) for place in points.split()])
        ]
        assert any(abs(wide - scale * (1.2 + 2 * reach)) < 0.3 for wide in widths)
    assert differ("near-far", gun_distance="250 mm")


def depths_of(picture):
    """Where the deepest scratch of each paper is drawn, under the surface."""
    return [float(y) for y in re.findall(r"M [\d.]+ ([\d.]+) H [\d.]+[^>]*stroke-dasharray=.5 4", picture)]


def test_scratches_of_papers_are_as_deep_to_one_scale_as_they_are_computed():
    bench = lesson.bench("scratch").set(grade="P240", sanded="filler")
    assert bench.now.papers == ["P80", "P180", "P240", "P320", "P600"]
    found = [low - 58 for low in depths_of(str(bench.picture_html))]
    deepest = [float(one.deepest) for one in bench.now.beside]
    assert found == pytest.approx([84 * one / max(deepest) for one in deepest], abs=0.1)
    assert shade("filler") in bench.picture_html and "P240, yours" in bench.picture_html
    assert differ("scratch", grade="P180") and differ("scratch", sanded="filler")


def test_tape_stands_as_high_as_it_is_told_and_the_film_ends_as_computed():
    assert differ("mask-edge", lip_height="8 mm")
    assert differ("mask-edge", coats="3", step_back="2 mm")
    high, usual = (drawn("mask-edge", lip_height=one) for one in ("7 mm", "5 mm"))
    assert ">7 mm<" in high and ">7 mm<" not in usual and shade("surfacer") in high


def test_words_beside_a_stack_end_before_the_next_and_a_tall_drawing_is_marked():
    told = [
        charts.Slice("hardener to 250 mL", 100, "scale 332 g", "dots"),
        charts.Slice("paint", 300, "all", "slant"),
    ]
    drawn = str(charts.layers(Axis("in the cup (mL)", 0, 600), [("this mix", told), ("pinned", told)], 570))
    begins = [float(left) for left in re.findall(r'<text x="([\d.]+)"[^>]*>hardener', drawn)]
    ends = [left + 0.54 * charts.TEXT * len("hardener to 250 mL") for left in begins]
    stacks = [float(left) for left in re.findall(r'<rect x="([\d.]+)"', drawn)]
    assert ends[0] < max(stacks) - 8 and ends[1] <= 560, "letters run wider than the rule of thumb"
    marked = [height for height in (99, 100, 101) if "ck-tall" in charts.svg([], 100, height)]
    assert marked == [101], "only one taller than wide"


@pytest.mark.parametrize("label", ["film", "gauge pressure (bar)"])
def test_a_label_longer_than_its_axis_leaves_the_legend_free(label):
    middle = float(re.search(r' y="([\d.]+)"', charts.upright_label(label, 56.0, 180.0))[1])
    assert middle - 0.54 * charts.TEXT * len(label) / 2 >= 56 - 0.1


def test_every_defect_that_can_be_seen_is_drawn_as_itself_and_grows_with_its_figure():
    bench = lesson.bench("what-went-wrong")
    options, card = bench.rows["seen"].options, bench.result.panel
    assert set(defects.LOOKS) == set(options)
    drawn_ = {
        seen: [str(defects.Defect(seen, ratio, card, Light()).markup("", "metric")) for ratio in (0.0, 2.0, 3.0, 9.0)]
        for seen in options
    }
    for seen, (none, some, most, beyond) in drawn_.items():
        assert none != some != most == beyond, seen
        shapes = {re.sub(r"<text.*?</text>", "", other[1]) for other in drawn_.values()}
        assert len(shapes) == len(options), "no two look alike"


def test_a_limit_crosses_its_bars_where_it_lies_and_long_words_take_two_lines():
    axis = Axis("times", 0.0, 3.0)
    rows = [picture.Bar("short", 1.0), picture.Bar("a cause of many words " * 5, 2.0)]
    plain, crossed = (str(picture.Bars(axis, rows, limit=limit).markup("", "metric")) for limit in (None, 1.5))
    (at,) = set(re.findall(r'd="M ([\d.]+) [\d.]+ v 24"', crossed))
    assert float(at) == pytest.approx((16 + picture.WIDTH - 20) / 2, abs=1) and "v 24" not in plain
    lines = [one for one in re.findall(r"<text[^>]*>([^<]*)</text>", plain) if "cause" in one]
    assert len(lines) == 2 and " ".join(reversed(lines)) == rows[1].label.strip()


def test_a_block_on_a_curve_bears_where_it_is_computed_and_its_ends_stand_off():
    bench = lesson.bench("block-on-crown")
    arrows = {}
    for radius in ("0.5 m", "50 m"):
        drawing_ = re.findall(r"<svg.*?</svg>", str(bench.set(crown_radius=radius).picture_html), re.S)[0]
        arrows[radius] = len(re.findall(r"<polygon", drawing_))
        times = re.search(r"heights drawn (\d+) times", drawing_)
        assert (times is not None) == (radius == "50 m"), "a tight curve is drawn as it is"
    assert arrows["50 m"] > arrows["0.5 m"] + 3, "it bears on more of its face"


def tips_of(picture):
    """Heads of the arrows under a block: where each points (px), its feet being on the underside of the sheet."""
    tips = [(float(x), float(y)) for x, y in re.findall(r'<polygon points="([\d.]+),([\d.]+) \S+ \S+"', picture)]
    sheet = overhang.TOP + overhang.FILM + overhang.SHEET
    return [(x, y - sheet) for x, y in tips if sheet < y < overhang.HEIGHT - 30]


@pytest.mark.parametrize(("film", "most"), [("40 µm", 2), ("60 µm", 4), ("180 µm", 8)])
def test_arrows_under_a_block_over_a_line_balance_the_hand(film, most):
    bench = lesson.bench("stop-short").set(film_at_line=film)
    tips = tips_of(str(bench.picture_html))
    x, high = np.array(sorted(tips)).T
    force = np.trapezoid(high, x) * most / overhang.PRESSED  # as a length of the drawing pressed with the mean
    assert force == pytest.approx(overhang.SCALE, rel=0.06)
    turns = np.trapezoid(high * x, x) / np.trapezoid(high, x)
    over = bench.result.stop.overhang  # of the block
    assert turns == pytest.approx(overhang.EDGE + overhang.SCALE * (over - 0.5), abs=6), "in its middle"


def area_of(points):
    """Area inside a polygon (px²)."""
    x, y = np.array(points).T
    return abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))) / 2


@pytest.mark.parametrize("wipes", ["1", "2"])
def test_wax_is_drawn_as_much_as_is_left_on_the_surface_and_in_the_scratches(wipes):
    bench = lesson.bench("degrease-first").set(wipes_before=wipes, wipes_after="1")
    found = re.findall(r'<polygon points="([^"]+)"[^>]*ck-wax', str(bench.picture_html))
    shapes = [[tuple(map(float, at.split(","))) for at in one.split()] for one in found]
    lands = wiping.PAINT - 2 * wiping.OPEN * wiping.SCRATCHES
    last = wiping.COLUMN * 3  # the right order ends in the last column of the upper row
    here = [one for one in shapes if one[0][0] > last and max(y for _, y in one) < wiping.LINE]
    left = bench.result.cleaned_first
    in_grooves = sum(area_of(one) for one in here if len(one) == 3) / wiping.SCRATCHES
    assert in_grooves == pytest.approx(left.rubbed_in * wiping.DEEP * wiping.OPEN, rel=0.1)
    on_lands = sum(area_of(one) for one in here if len(one) == 4) / lands
    thick = wiping.WAX * left.surface
    assert on_lands == pytest.approx(thick if thick > wiping.LEAST else 0.0, abs=0.06)


def test_base_fades_out_at_its_numbers_and_is_as_thick_as_its_coats():
    bench = lesson.bench("blend")

    def section(**moved):
        picture_ = str(bench.set(**moved).picture_html)
        ends = [float(x) for x in re.findall(rf'd="M ([\d.]+) {zones.GROUND:g} V', picture_)]
        base = next(one for one in re.findall(r'<polygon points="([^"]+)"', picture_) if one.count(" ") > 150)
        return ends, [tuple(map(float, at.split(","))) for at in base.split()][:91]

    ends, top = section(coats="3")
    scale = (zones.RIGHT - top[0][0]) / 0.9
    assert ends == pytest.approx([top[0][0] + scale * to for to in (0.15, 0.25, 0.35)], abs=0.2)
    assert zones.GROUND - top[0][1] == pytest.approx(zones.FILM * 24 / 30, abs=0.1)
    assert all(y == zones.GROUND for x, y in top if x > ends[-1] + 1), "beyond the last coat there is none"
    ends, top = section(coats="1")
    assert len(ends) == 1 and zones.GROUND - top[0][1] == pytest.approx(zones.FILM * 8 / 30, abs=0.1)


def test_a_rim_bends_the_lamp_by_twice_its_slope_and_a_step_left_in_a_wide_rim_is_told():
    place = np.linspace(-0.02, 0.02, 401)
    assert rim.slope(place, 0.01 * place + 1e-3)[5:-5] == pytest.approx(0.01)
    bent = []
    for film in (np.zeros(401), 5e-4 * place + 1e-5):
        drawn_ = str(rim.rims([("Feathered", place, film)], 0.02).parts[0:])
        lamp = re.findall(r'<polygon points="([^"]+)"[^>]*ck-lamp', drawn_)[0].split()
        bent.append(float(lamp[200].split(",")[1]))
    assert bent[1] - bent[0] == pytest.approx(2 * 5e-4 * rim.AWAY * (rim.RIGHT - rim.LEFT) / 0.04, abs=0.11)
    words = lesson.bench("feathered-rim").set(strokes="600").words
    assert "still draws that as a ring" in words and "do not see it" not in words


@pytest.mark.parametrize("side", [50.0, 70.0, 110.0, 282.0])
def test_numbers_on_the_axes_of_a_small_map_keep_clear_of_each_other(side):
    x, y = Axis("along", 0.0, 0.3), Axis("up", 0.0, 0.2)
    level = str(colour_maps.level_axis(x, 0.0, side, 0.0, side * 2 / 3))
    numbers = [(float(at), words) for at, words in re.findall(r'<text x="([\d.]+)"[^>]*>([\d.]+)<', level)]
    room = [10 * len(a[1]) / 2 + 10 * len(b[1]) / 2 for a, b in itertools.pairwise(numbers)]
    assert numbers and all(
        b[0] - a[0] >= 0.9 * gap for (a, b), gap in zip(itertools.pairwise(numbers), room, strict=True)
    )
    heights = [
        float(at)
        for at in re.findall(r'y="([\d.]+)"[^>]*>[\d.]+<', str(colour_maps.upright_axis(y, 60.0, 0.0, side * 2 / 3)))
    ]
    assert heights and all(a - b >= 16 for a, b in itertools.pairwise(heights))


@pytest.mark.parametrize("strokes", ["20", "300"])
def test_the_gauge_after_polishing_stands_lower_by_what_went(strokes):
    bench = lesson.bench("gauge-before-after").set(strokes=strokes)
    drawn_ = next(
        one for one in re.findall(r"<svg.*?</svg>", str(bench.picture_html), re.S) if "Heights of films" in one
    )
    dashed = float(re.findall(r'd="M [\d.]+ ([\d.]+) h [\d.]+"[^>]*dasharray', drawn_)[0])
    feet = [float(y) for y in re.findall(r'<polygon points="[\d.]+,([\d.]+) [^"]*" [^>]*var\(--jp', drawn_)]
    assert feet == pytest.approx([dashed, dashed + comb.CUT_SCALE * bench.result.removed], abs=0.11)


@pytest.mark.parametrize(
    ("length", "wavelength"), [(0.125, 0.2), (0.4, 0.2), (0.39, 0.2), (0.8, 0.02), (0.6, 0.2), (0.2, 0.2)]
)
def test_a_block_at_rest_on_a_wave_touches_where_nothing_under_it_is_higher(length, wavelength):
    touches, gap = bridging.stands(length, wavelength, 30e-6)
    under = np.linspace(-length / 2, length / 2, 200_001)
    wave = -30e-6 * np.cos(2 * np.pi * under / wavelength)
    assert gap == pytest.approx(wave.max() + 30e-6, rel=1e-6)
    heights = -30e-6 * np.cos(2 * np.pi * np.array(touches) / wavelength)
    assert heights == pytest.approx(wave.max(), rel=1e-6)
    top = under[wave > wave.max() - 1e-12]
    assert [touches[0], touches[-1]] == pytest.approx([top.min(), top.max()], abs=1e-4)
    assert len(touches) == 1 + np.count_nonzero(np.diff(top) > wavelength / 2)


def test_strokes_take_the_old_scratches_out_of_the_section():
    def right_half(strokes: str) -> list[float]:
        found = lesson.bench("last-paper")
        found.set(strokes=strokes)
        surfacer = re.findall(rf'<polygon points="([^"]+)" fill="{shade("surfacer")}"', found.picture_html)[-1]
        return [float(pair.split(",")[1]) for pair in surfacer.split()][:281]

    before, few, many = (right_half(strokes) for strokes in ("0", "8", "150"))
    assert min(before) == pytest.approx(24) and min(few) > min(before) and min(many) > min(few)
    spread = [max(one) - min(one) for one in (before, few, many)]
    assert spread[0] > spread[1] > spread[2] > 0, "old scratches grow shallower until the new ones are left"


@pytest.mark.parametrize("coldest, warmest, dew_point", [("6 °C", "19 °C", "8 °C"), ("14 °C", "41 °C", "12 °C")])
def test_rows_under_the_day_say_why_each_hour_is_spoken_against(coldest, warmest, dew_point):
    bench = lesson.bench("day").set(coldest=coldest, warmest=warmest, dew_point=dew_point)
    rows = day.rows(bench.now)
    for number, hour in enumerate(bench.result.hours):
        told = [title for title, hours in rows if hours[number]]
        assert bool(told) == bool(hour.against)
        assert ("moist" in told) == any("humidity" in one for one in hour.against)
        assert ("air" in told) == any(one.startswith("air") for one in hour.against)
        assert ("dew" in told) == any("dew point" in one for one in hour.against)


@pytest.mark.parametrize(
    ("key", "moved"),
    [
        ("sheet", {"solids": "45 %"}),
        ("sheet", {"density": "1.2 kg/L"}),
        ("paint-needed", {"dry_film": "30 µm"}),
        ("paint-needed", {"area": "0.5 m²"}),
        ("garage-saving", {"saving_lands": "60 %"}),
        ("garage-saving", {"saving_left": "5 mL"}),
        ("levers", {"left_in_hose": "40 mL"}),
        ("drop-formulas", {"viscosity": "20 mPa·s"}),
        ("cup-test", {"caught_paint": "20 mL"}),
        ("cup-test", {"measuring_time": "30 s"}),
        ("thin-recoat", {"lip_height": "4 mm"}),
        ("where-time-goes", {"clear_hard": "20 h"}),
        ("cross-hatch", {"strokes": "40"}),
        ("gun-sweep", {"fan_opening": "30 %"}),
        ("gun-sweep", {"turns": "3"}),
        ("coats-to-hide", {"coats": "1"}),
    ],
)
def test_each_of_the_later_drawings_moves_with_its_numbers(key, moved):
    assert differ(key, **moved)


def blocks(svg, name):
    """Heights of the areas of a material in a drawing, px."""
    found = re.findall(rf'<polygon points="([^"]*)" fill="{re.escape(shade(name))}"', svg)
    ups = [[float(place.split(",")[1]) for place in one.split()] for one in found]
    return [max(one) - min(one) for one in ups]


def test_films_of_a_sheet_stand_to_one_scale_as_each_reading_leaves_them():
    bench = lesson.bench("sheet")
    heights = blocks(bench.picture_html, "surfacer")
    wanted, wrong = bench.result.wet.middle, bench.result.wrong_dry.middle
    assert wanted > 30e-6
    # Wet and dry of each: the solids in the wet film are as high as the film that stays.
    assert heights[0] == pytest.approx(heights[1]) and heights[2] == pytest.approx(heights[3])
    assert heights[2] / heights[0] == pytest.approx(wrong / 30e-6, rel=0.02)


def test_cups_are_filled_with_what_must_land_and_what_is_sprayed():
    bench = lesson.bench("paint-needed")
    svg = bench.picture_html
    first, second = blocks(svg, "surfacer")[-2:]
    # 1.2 m² × 50 µm × 2 / 40 % = 300 mL in cups of 1 L and 150 px.
    assert first == second == pytest.approx(150 * 300 / 1000, abs=0.2)
    dotted = [float(one) for one in re.findall(r'<rect [^>]*height="([\d.]+)"[^>]*opacity="0.07"', svg)]
    elsewhere = (bench.result.needed.middle - 300e-6) * 1e6
    assert dotted == pytest.approx([150 * elsewhere / 1000], abs=0.2)


def test_drops_of_six_formulas_stand_to_one_scale_and_those_out_of_range_are_crossed_out():
    bench = lesson.bench("drop-formulas")
    svg = bench.picture_html
    radii = [float(one) for one in re.findall(r'<circle [^>]*r="([\d.]+)"[^>]*fill-opacity', svg)]
    sizes = [float(said.diameter) for said in bench.result.said.values()]
    assert radii == pytest.approx([112 / 150e-6 * size / 2 for size in sizes], abs=0.06)
    outside = sum(said.stretch > 1 for said in bench.result.said.values())
    assert svg.count('stroke-width="7"') == outside > 0


def test_the_hours_of_a_repair_fill_as_much_of_its_rows():
    bench = lesson.bench("where-time-goes")
    svg = bench.picture_html
    width = sum(
        float(wide)
        for wide, high in re.findall(r'<rect [^>]*width="([\d.]+)" height="([\d.]+)"[^>]*opacity="0.07"', svg)
        if float(high) > 15
    )
    waits = sum(float(wait.middle) for wait in bench.result.waits.values()) / 3600
    assert width == pytest.approx(570 * waits / 24, rel=0.01)


def test_a_setting_off_the_chart_is_a_head_that_points_to_where_it_would_be():
    x, y = Axis("a", 0, 10), Axis("b", 0, 10)
    inside, above, below = (str(charts.chart(x, y, [charts.Mark(5, at, "now")])) for at in (5, 30, -4))
    assert inside.count("<circle") == 2, "the setting and its sample in the legend"
    assert above.count("<circle") == below.count("<circle") == 1
    heads = [re.search(r"h 16 L [\d.]+ ([\d.]+) Z", one) for one in (above, below)]
    places = [re.search(r'd="M [\d.]+ ([\d.]+) h 16 L', one) for one in (above, below)]
    assert float(heads[0][1]) < float(places[0][1]) and float(heads[1][1]) > float(places[1][1])


def test_an_axis_of_bars_holds_a_bar_that_is_longer_than_was_asked_for():
    bars = picture.Bars(Axis("a", 0, 10), [picture.Bar("long", 40.0, low=30.0, high=50.0)])
    ends = [float(one) for one in re.findall(r" H ([\d.]+) m 0 -6", bars.markup("", "metric"))]
    assert ends and max(ends) < 620


@pytest.mark.parametrize("moved", [{"gun_distance": "300 mm", "tilt": "30 °", "fan_opening": "100 %"}, {}])
def test_the_gun_and_its_fan_stay_in_their_drawing(moved):
    first = re.search(r"<svg.*?</svg>", drawn("door-film", **moved), re.S)[0]
    y, turned = (
        float(one) for one in re.search(r"translate\([\d.]+ ([\d.]+)\) rotate\((-?[\d.]+)\)", first).groups()
    )
    lowest = y + 34 * math.cos(math.radians(turned)) - 56 * math.sin(math.radians(turned))  # the foot of its handle
    fan = re.search(r'<polygon points="([^"]*)"[^>]*fill-opacity="0.18"', first)[1]
    assert lowest < 192 and all(20 < float(place.split(",")[1]) < 192 for place in fan.split())
