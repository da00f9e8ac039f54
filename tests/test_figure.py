"""Figures: numbers that know their rows, print themselves in the units shown and keep bands in order."""

import copy
import pickle

import numpy as np
import pytest

from coursekit.figure import Axis, Figure, Number, first_holding
from coursekit.lesson.draw import picture
from coursekit.lesson.draw.picture import Bar, Bars, Chart, Line, Mark, Shade
from coursekit.lesson.workbench.now import Units
from coursekit.uncertain import Band

NARROW = "\N{NARROW NO-BREAK SPACE}"


def test_a_figure_prints_itself_in_the_units_that_are_shown():
    dry = Figure(54e-6, "dry_film")
    assert f"{dry}" == "54 µm" and f"{dry:1}" == "50 µm" and f"{dry:.2f}" == "54.00"
    assert f"{Figure(54e-6, 'dry_film', 'us')}" == "2.13 mil"  # 54 ÷ 25.4
    assert f"{Figure(293.15, 'temperature', 'us')}" == "68 °F"
    assert f"{Figure(0.45, 'volume_solids')}" == f"45{NARROW}%"


def test_a_band_prints_as_a_band_with_as_many_digits_as_tell_its_ends_apart():
    assert f"{Figure(Band(40e-6, 60e-6, 90e-6), 'dry_film')}" == "40 to 90 µm"
    assert f"{Figure(Band(66e-6, 70e-6, 75.7e-6), 'dry_film')}" == "66.0 to 75.7 µm"
    assert f"{Figure(Band(66e-6, 70e-6, 75.7e-6), 'dry_film'):2}" == "66 to 76 µm"


def test_sums_and_multiples_keep_the_row_and_products_do_not():
    wet, solids = Figure(120e-6, "wet_film"), Figure(0.45, "volume_solids")
    assert f"{wet - 54e-6}" == f"{wet - Figure(54e-6, 'dry_film')}" == "66 µm"
    assert f"{1 - solids:2}" == f"55{NARROW}%"
    assert f"{2 * wet}" == f"{wet / 0.5}" == "240 µm"
    assert wet * solids == pytest.approx(54e-6) and not isinstance(wet * solids, Figure)
    assert isinstance(np.linspace(0, 1, 3) * wet, Figure) and isinstance(np.minimum(wet, 1e-4), float)
    assert 100e-6 < wet < Figure(130e-6, "dry_film") and float(wet) == 120e-6
    assert f"{abs(-wet)}" == f"{round(Figure(1.19999e-4, 'wet_film'), 6)}" == "120 µm"


def test_a_band_stays_in_order_and_two_of_them_are_not_taken_for_independent():
    share = Figure(Band(0.4, 0.5, 0.7), "solids_share")
    assert (1 - share).si == pytest.approx((0.3, 0.5, 0.6))
    assert (-share).si == pytest.approx((-0.7, -0.5, -0.4)) and (2 * share).si == pytest.approx((0.8, 1.0, 1.4))
    assert (1 / share) == pytest.approx((1 / 0.7, 2, 2.5))
    with pytest.raises(TypeError, match="together"):
        share - share
    curve = Figure(Band(*(np.arange(3) * factor for factor in (1, 2, 3))), "wet_film")
    assert curve[-1].si == (2, 4, 6) and curve.most == 6 and len(list(curve)) == 3


def test_axis_of_a_figure_carries_shown_numbers_and_stays_until_the_next_is_needed():
    film = Figure(54e-6, "dry_film", "us")
    label, low, high = film.axis(254e-6)
    assert label == "dry film (mil)" and low == 0 and high == pytest.approx(10)
    assert film.axis((50e-6, 127e-6, 254e-6), "film").high == pytest.approx(5)
    assert film.axis((10e-6, 25.4e-6)).high == pytest.approx(1), "none holds it: the last"
    assert first_holding((1, 2, 3), 2) == 2 and first_holding((1, 2), 9) == 2


def test_a_figure_can_be_copied_and_a_constant_has_its_units():
    assert f"{copy.deepcopy(Figure(1e-4, 'wet_film'))}" == "100 µm"
    assert f"{Units('us')('1.4 mm', 'tip_bore')}" == f"{Units('us')(1.4e-3, 'tip_bore')}" == "0.0551 in"


def test_a_plain_number_that_knows_its_row_reckons_as_a_float_and_prints_as_a_figure():
    wet = Number(120e-6, "wet_film", "us", 4)
    assert f"{wet}" == str(wet) == "4.724 mil" and f"{wet:2}" == "4.7 mil" and f"{wet:g}" == "0.00012"
    assert type(wet * 0.45) is float and wet == 120e-6 and wet.row == "wet_film"
    for twin in (copy.copy(wet), copy.deepcopy(wet), pickle.loads(pickle.dumps(wet))):
        assert twin == wet and f"{twin}" == "4.724 mil"


# --- what is kept is joined to the picture ---


def chart(x, high=100e-6):
    film = Figure(x * 1e-6, "dry_film")
    places = np.array([0.0, 1.0])
    parts = [
        Shade(places, Figure(Band(places * 1e-6, places * 2e-6, places * 3e-6), "dry_film"), "band"),
        Line(places, film.of(places * 1e-6), "now", "dashed", pinned="pinned"),
        Line(places, film.of(places * 2e-6), "beside it"),
        Mark(0.5, film, "here"),
    ]
    return Chart(Axis("x", 0, 1), film.axis(high), parts)


def test_lines_and_marks_of_the_kept_setting_are_told_apart_by_dash_and_shape():
    both = chart(20).joined(chart(30, 200e-6))
    assert [part.label for part in both.parts[4:]] == ["pinned", ""]
    line, mark = both.parts[4:]
    assert line.dash not in ("solid", "dashed") and mark.pinned and float(mark.y) == pytest.approx(30e-6)
    assert both.y.high == pytest.approx(200) and len(both.parts) == 6, "the axis holds both; a band is drawn once"


def test_what_has_another_axis_is_not_joined():
    other = Chart(Axis("seconds", 0, 1), chart(20).y, chart(20).parts)
    assert len(chart(20).joined(other).parts) == 4


def test_a_kept_bar_lies_under_the_one_it_compares_with():
    axis = Axis("mL", 0, 5)
    rows = [Bar("mix", 3, hatch="slant", pinned="mix, pinned"), Bar("of it paint", 2)]
    both = Bars(axis, rows).joined(Bars(axis._replace(high=9), [rows[0]._replace(size=7), rows[1]]))
    assert [row.label for row in both.rows] == ["mix", "mix, pinned", "of it paint"]
    assert both.rows[1].size == 7 and both.rows[1].hatch != "slant" and both.axis.high == 9


def test_a_bar_of_a_figure_says_it_with_its_ends():
    drawn = Bars(Axis("µm", 0, 100), [Bar("film", Figure(Band(40e-6, 60e-6, 90e-6), "dry_film"))])
    assert "film: 40 to 90 µm" in picture.markup(drawn, "", "metric")


def test_words_of_a_drawing_and_rows_of_another_length_are_left_alone():
    assert picture.joined(["a", chart(20)], ["b"])[0] == "a"
    assert picture.joined("a", chart(20)) == "a"
