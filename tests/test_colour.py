"""Colour: against the general colour library, and what must hold whatever the colours."""

import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursekit import InputError, RangeError, colour
from coursekit.belief import band
from coursekit.colour.difference import HALF_TURN_SLACK
from coursekit.colour.swatch import linear_of_lab
from coursekit.sources import coefficient
from tests.calls import refused

PAIRS = [
    c["with"]
    for c in tomllib.loads((Path(__file__).parent / "published/colour.toml").read_text("utf-8"))["case"]
    if c["call"] == "colour.difference"
]
lab = st.tuples(st.floats(0, 100), st.floats(-120, 120), st.floats(-120, 120)).map(list)
grey = st.floats(0.01, 0.99)


def library(one, other):
    import colour as reference  # takes a second: only where it is asked

    return float(reference.delta_E(np.array(one, float), np.array(other, float), method="CIE 2000"))


def test_all_printed_pairs_are_there():
    assert len(PAIRS) == 34


@pytest.mark.parametrize("pair", PAIRS)
def test_printed_pairs_against_the_library(pair):
    got = colour.difference(pair["lab_1"], pair["lab_2"]).m
    assert got == pytest.approx(library(pair["lab_1"], pair["lab_2"]), abs=5e-5)
    assert got == pytest.approx(colour.difference(pair["lab_2"], pair["lab_1"]).m, abs=1e-9)


@given(lab, lab)
def test_difference_against_the_library(one, other):
    gap = abs(np.degrees(np.arctan2(one[2], one[1]) - np.arctan2(other[2], other[1])))
    if abs(gap - 180) < 0.5:  # the jump at half a turn is tested below by its rule
        return
    assert colour.difference(one, other).m == pytest.approx(library(one, other), abs=1e-4)


@given(lab, lab)
def test_difference_is_even_handed(one, other):
    there = colour.difference(one, other).m
    assert there >= 0
    assert colour.difference(one, one).m == pytest.approx(0, abs=1e-9)
    gap = abs(np.degrees(np.arctan2(one[2], one[1]) - np.arctan2(other[2], other[1])))
    if abs(gap - 180) > 1e-6:
        assert there == pytest.approx(colour.difference(other, one).m, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("angle", [0, 10, 37, 90, 123.4, 170])
@pytest.mark.parametrize("chroma", [5, 40])
def test_half_a_turn_goes_with_smaller_gaps(angle, chroma):
    """At exactly half a turn, and to within 1e-9 degrees of it, the plain mean; both neighbours are told."""

    def at(gap):
        first, second = np.radians(angle), np.radians(angle + gap)
        return colour.difference(
            [50, chroma * np.cos(first), chroma * np.sin(first)],
            [50, chroma * np.cos(second), chroma * np.sin(second)],
        ).m

    exactly, below, above = at(180), at(180 - 1e-4), at(180 + 1e-4)
    assert exactly == pytest.approx(below, abs=1e-3)
    # Beyond it the mean lies on the other side: the same as turning the pair the other way round.
    first, second = np.radians(angle + 180 + 1e-4), np.radians(angle + 360)
    other_way = colour.difference(
        [50, chroma * np.cos(first), chroma * np.sin(first)], [50, chroma * np.cos(second), chroma * np.sin(second)]
    ).m
    assert above == pytest.approx(other_way, abs=1e-9)
    assert HALF_TURN_SLACK < 1e-6


def test_half_a_turn_does_not_turn_on_rounding():
    """Opposite colours on one line are half a turn apart, whatever the last digit of their angle."""
    for a, b in ((2.49, -0.001), (3.0, 7.0), (-11.3, 0.7), (0.1, 0.3), (1 / 3, 2 / 7)):
        one = colour.difference([50, a, b], [50, -a, -b]).m
        # Double precision leaves the angle up to 1e-13 degrees off: a scale changes that noise and nothing else.
        assert colour.difference([50, -a, -b], [50, a, b]).m == pytest.approx(one, rel=1e-9)
        many = [
            colour.difference([50, a * (1 + k * 2.0**-50), b * (1 + k * 2.0**-50)], [50, -a, -b]).m for k in range(5)
        ]
        assert np.ptp(many) < 1e-9


def test_difference_of_arrays():
    got = colour.difference(np.full((4, 5, 3), 50.0), [50, 3, 4])
    assert got.shape == (4, 5)
    with pytest.raises(InputError):
        colour.difference(np.zeros((2, 3)), np.zeros((4, 3)))


@pytest.mark.parametrize(
    "bad",
    [
        None,
        "50 1 2",
        5,
        [1, 2],
        [1, 2, 3, 4],
        [],
        [[]],
        ["a", "b", "c"],
        [50, None, 0],
        [50, 0, float("nan")],
        [True, 0, 0],
        {"L": 50},
        [[50, 0, 0], [50, 0]],
        [50, 1j, 0],
        object(),
        [10**400, 0, 0],
        np.array("x"),
        np.array(5.0),
        [object()] * 3,
        {50, 0, 1},
    ],
)
def test_bad_colours(bad):
    with pytest.raises(InputError):
        colour.difference(bad, [50, 0, 0])
    with pytest.raises(InputError):
        colour.difference([50, 0, 0], bad)


def test_ranges_of_colours():
    for bad in ([101, 0, 0], [-1, 0, 0], [50, 300, 0], [50, 0, -300]):
        with pytest.raises(RangeError):
            colour.difference(bad, [50, 0, 0])


# --- swatches ------------------------------------------------------------------------------------------------


@given(st.tuples(*[st.integers(0, 255)] * 3))
def test_swatch_there_and_back(channels):
    text = "#{:02x}{:02x}{:02x}".format(*channels)
    of = colour.lab_of.si(text)
    if not (0 <= of.lightness <= 100):
        return
    swatch = colour.swatch.si([max(of.lightness, 0.0), of.a, of.b])
    assert swatch.hex == text and swatch.in_gamut


@given(st.tuples(*[st.floats(0, 1)] * 3))
def test_lab_of_the_screen_against_the_library(channels):
    value = np.round(np.array(channels) * 255) / 255
    import colour as reference

    white = reference.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    theirs = reference.XYZ_to_Lab(reference.sRGB_to_XYZ(value, apply_cctf_decoding=True), illuminant=white)
    of = colour.lab_of.si("#{:02x}{:02x}{:02x}".format(*(round(v * 255) for v in value)))
    assert [of.lightness, of.a, of.b] == pytest.approx(list(theirs), abs=0.06)  # digits of the white point


def test_what_a_screen_cannot_show_is_said():
    out = colour.swatch([55, -110, 40])
    assert not out.in_gamut and "cannot" not in out.hex and "outside" in out.words
    assert "flake" in colour.swatch([50, 0, 0]).words
    for bad in (None, "#12345", "red", "#gggggg", 5, "#" * 50):
        with pytest.raises(InputError):
            colour.lab_of(bad)


# --- hiding --------------------------------------------------------------------------------------------------

ratio = st.floats(1e-5, 20)
depth = st.floats(0, 40)


@given(ratio, depth, st.floats(0, 1))
def test_film_reflectance_is_the_printed_form(k, x, ground):
    """Kubelka's coth form, where it does not divide by nought."""
    if x < 1e-3:
        return
    s = 1e5
    a, b = 1 + k, np.sqrt((1 + k) ** 2 - 1)
    coth = 1 / np.tanh(b * x)
    printed = (1 - ground * (a - b * coth)) / (a - ground + b * coth)
    assert colour.film_reflectance.si(k * s, s, x / s, ground) == pytest.approx(printed, rel=1e-7, abs=1e-9)


@given(ratio, st.floats(0, 20), st.floats(0, 20), st.floats(0, 1))
def test_two_films_are_one_thick_film(k, first, second, ground):
    """Seen from above, a film over a film of the same paint is a film as thick as both."""
    s = 1e5
    under = colour.film_reflectance.si(k * s, s, first / s, ground)
    over = colour.film_reflectance.si(k * s, s, second / s, under)
    assert over == pytest.approx(colour.film_reflectance.si(k * s, s, (first + second) / s, ground), abs=1e-9)


@given(st.floats(1e-5, 20))
def test_thick_film_is_the_masstone(k):
    thick = colour.film_reflectance.si(k * 1e5, 1e5, 5e-3, 0.3)
    if k > 1e-3:
        assert colour.absorption_ratio.si(thick) == pytest.approx(k, rel=1e-6)


@given(st.floats(1e-4, 5), st.floats(0.01, 0.8), st.floats(1e-6, 1e-4))
def test_more_film_hides_more(k, s, film):
    thin = colour.contrast_ratio.si(k * 1e6 * s, s * 1e6, film)
    thick = colour.contrast_ratio.si(k * 1e6 * s, s * 1e6, 1.1 * film)
    assert 0 <= thin <= thick + 1e-12 <= 1 + 1e-9


def test_hiding_film_gives_the_contrast_asked_for():
    for k in (0.001, 0.02, 0.3):
        film = colour.hiding_film(f"{k} 1/µm", "0.1 1/µm", "95 %")
        got = colour.contrast_ratio(f"{k} 1/µm", "0.1 1/µm", film)
        assert got.m == pytest.approx(0.95, abs=1e-6)
    with refused("range", "contrast"):
        colour.hiding_film("0 1/µm", "0.0001 1/µm")
    with pytest.raises(RangeError):
        colour.contrast_ratio("0.01 1/µm", "0.1 1/µm", "20 µm", white="20 %", black="40 %")


def test_card_gives_the_scattering_back():
    lab_white = [92, -1, 4]
    for s in (0.03, 0.1, 0.3):
        from coursekit.colour.hiding import absorption_ratio, reflectance_over
        from coursekit.colour.swatch import linear_of_lab

        ks = absorption_ratio.si(np.clip(linear_of_lab(np.array(lab_white, float)), 1e-4, 0.999))
        light = np.array([0.2126, 0.7152, 0.0722])
        over = [light @ reflectance_over(ks, s * 30, g) for g in (0.0, 0.8)]
        got = colour.scattering_from_card(lab_white, "30 µm", f"{100 * over[0] / over[1]:.8f} %")
        assert got.m_as("1 / micrometer") == pytest.approx(s, rel=1e-4)


def test_coats_follow_the_ground():
    red = [40, 55, 35]
    own = colour.coats_to_hide(red, [[41, 55, 35]], "10 µm", "solid")
    mixed = colour.coats_to_hide(red, [[41, 55, 35], [75, 2, 10], [20, 0, 0]], "6 µm", "solid", "0.03 1/µm")
    assert own.coats.m == 1
    assert mixed.coats.m > own.coats.m
    assert np.all(np.diff(mixed.differences.m) < 1e-9)
    assert mixed.last_ground in (1, 2)
    thin = colour.coats_to_hide([88, 0, 80], [[20, 0, 0], [90, 0, 0]], "2 µm", "solid", "0.01 1/µm")
    assert thin.coats is None and "do not hide" in thin.words
    assert (
        mixed.coats.m >= colour.coats_to_hide(red, [[75, 2, 10], [20, 0, 0]], "12 µm", "solid", "0.03 1/µm").coats.m
    )


@pytest.mark.parametrize("paint", ["metallic", "pearl", "clear"])
def test_only_solid_colours_are_computed(paint):
    with refused("not computed", "paint"):
        colour.coats_to_hide([40, 5, 5], [[70, 0, 0]], "10 µm", paint)
    with refused("not computed", "paint"):
        colour.blend([40, 5, 5], [41, 5, 5], ["100 mm"], "10 µm", paint)


# --- blend ---------------------------------------------------------------------------------------------------


def test_a_longer_blend_is_less_steep():
    short, long = (
        colour.blend([42, 48, 32], [40, 50, 30], reach, "8 µm", "solid")
        for reach in (["40 mm"] * 3, ["150 mm", "300 mm", "450 mm"])
    )
    assert long.score.m < 0.5 * short.score.m
    assert short.score.m <= 1
    assert "relative" in long.words
    assert long.film.m_as("µm")[0] == pytest.approx(24)
    assert long.film.m_as("µm")[-1] == pytest.approx(0, abs=1e-9)
    assert long.to_old.m[-1] == pytest.approx(0, abs=1e-9)
    assert np.all(np.diff(long.film.m) <= 1e-12)


def test_blend_of_the_same_colour_shows_nothing():
    same = colour.blend([40, 50, 30], [40, 50, 30], ["100 mm"], "8 µm", "solid")
    assert same.steepest.m == pytest.approx(0, abs=1e-6)
    assert same.score.m == 0


def test_one_thin_coat_leaves_the_edge_in_the_score():
    """Where the coats at the edge do not hide, the step at the edge itself is counted."""
    thin = colour.blend([90, 0, 5], [40, 50, 30], ["2 m"], "1 µm", "solid", "0.02 1/µm")
    assert thin.score.m > 0.5


def test_hiding_shows_a_band():
    found = band(colour.contrast_ratio, "0.01 1/µm", coefficient("scattering"), "20 µm")
    assert found.low.m < 0.9 * found.high.m


channels = st.tuples(*[st.integers(8, 247)] * 3)


@given(channels, channels, st.floats(0.5, 400))
def test_a_film_lies_between_its_ground_and_its_own_colour(paint, ground, microns):
    paint, ground = ([float(part.m) for part in colour.lab_of("#" + bytes(c).hex())] for c in (paint, ground))
    seen = [colour.seen_over.si(paint, ground, film * 1e-6, "solid", 0.08e6) for film in (0.0, microns, 5000.0)]
    under, film, thick = (linear_of_lab(np.array(one)) for one in seen)  # in each band of light
    assert np.all(np.minimum(under, thick) - 1e-9 <= film) and np.all(film <= np.maximum(under, thick) + 1e-9)
    hidden = colour.coats_to_hide.si(paint, [ground], 12e-6, "solid", 0.08e6).differences[2]
    three = colour.seen_over.si(paint, ground, 36e-6, "solid", 0.08e6)
    assert library(list(three), list(seen[2])) == pytest.approx(hidden, abs=1e-3)


def test_a_grey_film_is_the_reflectance_of_the_theory():
    """Y of a grey over a grey is R of the two-constant formula, from the other call."""
    whole, under = 0.4, 0.1
    paint, ground = ([116 * np.cbrt(light) - 16, 0.0, 0.0] for light in (whole, under))
    ratio = colour.absorption_ratio.si(whole)
    expected = colour.film_reflectance.si(ratio * 0.05e6, 0.05e6, 20e-6, under)
    seen = colour.seen_over.si(paint, ground, 20e-6, "solid", 0.05e6)
    assert ((seen.lightness + 16) / 116) ** 3 == pytest.approx(expected, abs=1e-4)


def test_seen_over_broadcasts_and_refuses_what_it_cannot():
    many = colour.seen_over([40, 0, 0], [80, 0, 0], ["5 µm", "20 µm", "80 µm"], "solid")
    assert many.lightness.shape == (3,) and many.lightness[0] > many.lightness[2]
    for kind in ("metallic", "pearl", "clear"):
        with refused("not computed", "paint"):
            colour.seen_over([40, 0, 0], [80, 0, 0], "20 µm", kind)
    for bad in (None, [1, 2], "red", [[40, 0, 0], [1, 2, 3]]):
        with pytest.raises(InputError):
            colour.seen_over([40, 0, 0], bad, "20 µm", "solid")


def test_a_paint_that_hides_is_not_refused_for_another_that_does_not():
    paints = ["0.002 1/µm", "0.0001 1/µm"]
    films = colour.hiding_film(paints, ["0.1 1/µm", "0.01 1/µm"], ["98 %", "60 %"])
    alone = colour.hiding_film(paints[0], "0.1 1/µm", "98 %")
    assert films.m[0] == pytest.approx(alone.m)
    with refused("range", "contrast"):
        colour.hiding_film(paints, ["0.1 1/µm", "0.0001 1/µm"], "98 %")


def test_nothing_hides_more_than_all():
    assert colour.contrast_ratio("10 1/µm", "0.0001 1/µm", "5 mm").m <= 1
