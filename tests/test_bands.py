"""Bands: each coefficient keeps its own ends, whatever else is drawn; what a person gave keeps its shape."""

import numpy as np
import pytest

from coursekit import belief, film, sanding
from coursekit.belief import band_si
from coursekit.errors import InputError
from coursekit.uncertain import Coefficient
from tests.calls import fair_arguments, public_calls, refused


def coefficient(value, low, high, spread="factor", key="k"):
    return Coefficient(value, low, high, key=key, kind="assumed", source="assumed-here", spread=spread)


@pytest.mark.parametrize("draws", [40, 333, None])
def test_a_single_coefficient_has_exactly_its_own_band(draws):
    got = band_si(lambda a: 2 * a, coefficient(3.0, 1.0, 4.0), draws=draws)
    assert (got.low, got.middle, got.high) == pytest.approx((2.0, 6.0, 8.0), rel=0.01)


def test_a_product_of_factors_adds_in_quadrature():
    one, other = coefficient(1.0, 0.5, 2.0), coefficient(1.0, 0.5, 2.0, key="l")
    got = band_si(lambda a, b: a * b, one, other)
    assert band_si(lambda a, b: a / b, one, one) == (1, 1, 1), "one key, one number"
    assert got.high == pytest.approx(2 ** np.sqrt(2), rel=0.02) and got.middle == pytest.approx(1, rel=0.02)


def test_an_array_that_was_given_is_not_taken_for_draws():
    given = np.array([1.0, 10.0, 100.0])
    certain = band_si(lambda x: x, given)
    assert certain.low is given and certain.high is given
    drawn = band_si(lambda x, a: x * a, given, coefficient(1.0, 0.5, 2.0))
    assert drawn.middle.shape == (3,) and drawn.middle == pytest.approx(given, rel=1e-3)


def test_a_coefficient_passes_the_door_with_its_band():
    from coursekit.quantities import read

    mine = coefficient(20e-6, 10e-6, 40e-6)
    assert read(mine, "dry_film") is mine


MISFITS = {
    "a name that is none": ("argument", "wet", lambda: belief.band(film.dry_film, wet="120 µm")),
    "too few": ("missing", "volume_solids", lambda: belief.band(film.dry_film, "120 µm")),
    "too many": ("argument", "film.dry_film", lambda: belief.band(film.dry_film, "120 µm", "45 %", "10 %")),
    "no call": ("other type", "call", lambda: belief.band(len, [1])),
    "no unit": ("no unit", "wet_film", lambda: belief.band(film.dry_film, 120, "45 %")),
    "no draws": ("count", "draws", lambda: belief.band(film.dry_film, "120 µm", "45 %", draws=0)),
    "no belief": ("other type", "belief", lambda: belief.band(film.dry_film, "120 µm", "45 %", belief=3)),
}


@pytest.mark.parametrize("case", MISFITS)
def test_what_a_band_cannot_be_made_of_is_refused_as_the_call_refuses_it(case):
    kind, argument, call = MISFITS[case]
    with refused(kind, argument):
        call()


def test_a_call_that_draws_its_numbers_itself_is_asked_once():
    given = ("P180", "P320", "20 N", "70 x 125 mm", "surfacer", "60 µm")
    assert belief.band(sanding.strokes_between, *given) == sanding.strokes_between(*given)


@pytest.mark.parametrize(("path", "call"), public_calls())
def test_every_call_has_a_band_or_refuses_one(path, call):
    try:
        found = belief.band(call, draws=50, **fair_arguments(path, call))
    except InputError as error:
        assert error.kind == "list", "one that takes a single value of an uncertain number"
    else:
        assert found is not None
