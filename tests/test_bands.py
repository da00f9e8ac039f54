"""Bands: each coefficient keeps its own ends, whatever else is drawn; what a person gave keeps its shape."""

import numpy as np
import pytest

from coursekit.belief import band_si
from coursekit.uncertain import Coefficient


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
