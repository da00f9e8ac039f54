import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursekit import film
from coursekit.belief import band
from coursekit.nomenclature import load_data
from coursekit.quantities import InputError, RangeError, read
from coursekit.sources import sources
from tests.calls import refused

films = st.floats(1e-6, 1e-3)
shares = st.floats(0.05, 1)
reductions = st.floats(0, 2)


@given(films, shares, reductions)
def test_wet_film_there_and_back(dry, solids, reduction):
    wet = film.wet_film.si(dry, solids, reduction)
    thinned = film.thinned_volume_solids.si(solids, reduction)
    assert film.dry_film.si(wet, thinned) == pytest.approx(dry)
    assert wet >= dry * (1 - 1e-12)


@given(st.floats(0.01, 20), films, shares, shares, st.integers(1, 6))
def test_paint_needed_there_and_back(area, dry, solids, transfer, coats):
    volume = film.paint_needed.si(area, dry, solids, transfer, coats)
    assert film.film_from_paint.si(volume, area, solids, transfer, coats) == pytest.approx(dry)
    assert area * coats / film.spreading_rate.si(dry, solids, transfer) == pytest.approx(volume)


@given(st.floats(0.2, 0.95), st.floats(1.0, 1.6), st.floats(0.8, 0.95))
def test_solids_by_mass_and_volume_there_and_back(volume_solids, density, volatile):
    mass = film.mass_solids_from_volume.si(volume_solids, density * 1000, volatile * 1000)
    assert film.volume_solids_from_mass.si(mass, density * 1000, volatile * 1000) == pytest.approx(volume_solids)
    assert mass >= volume_solids * (1 - 1e-9)  # solids are heavier than solvent here


def test_weighed_wet_and_dry_agree():
    """One coat weighed wet and then dry must give one film."""
    density, volatile, solids, area, wet = 1300.0, 880.0, 0.4, 0.5, 0.08
    dry_mass = wet * film.mass_solids_from_volume.si(solids, density, volatile)
    dry_density = (density - (1 - solids) * volatile) / solids
    assert film.film_from_dry_mass.si(dry_mass, area, dry_density) == pytest.approx(
        film.film_from_wet_mass.si(wet, area, density, solids)
    )


@given(st.lists(st.lists(st.floats(1e-5, 1e-3), min_size=3, max_size=3), min_size=2, max_size=8))
def test_gauge_average_is_the_mean_of_the_spots(readings):
    average = film.gauge_average.si(readings)
    assert average.mean == pytest.approx(np.mean(readings))
    assert average.lowest <= average.mean * (1 + 1e-9) and average.mean <= average.highest * (1 + 1e-9)
    assert average.spread >= 0


def test_acceptance_by_spot_and_by_mean():
    asked = ("50 µm", "75 µm")
    good = film.gauge_acceptance([["60 µm"] * 3, ["62 µm"] * 3], *asked)
    assert good.accepted is True and good.verdict == "as asked for"
    assert film.gauge_acceptance([["39 µm"] * 3, ["70 µm"] * 3], *asked).thin_spots == 1  # under 40 µm
    assert film.gauge_acceptance([["41 µm"] * 3, ["70 µm"] * 3], *asked).accepted is True  # 0.8 of the least
    assert film.gauge_acceptance([["91 µm"] * 3, ["55 µm"] * 3], *asked).thick_spots == 1  # over 90 µm
    thin = film.gauge_acceptance([["45 µm"] * 3, ["46 µm"] * 3], *asked)
    assert thin.accepted is False and "on the whole" in thin.verdict
    many = film.gauge_acceptance.si(np.full((4, 5, 3), 60e-6), 50e-6, 75e-6)
    assert many.accepted.shape == (4,) and many.accepted.all()


@given(st.floats(0, 590e-6), st.sampled_from(["metric", "us"]))
def test_comb_teeth_bracket_the_film(wet, comb):
    teeth = film.comb_teeth.si(wet, comb)
    assert teeth.wetted <= wet * (1 + 1e-9) < teeth.dry
    reading = film.comb_reading.si(teeth.wetted, teeth.dry)
    assert reading.low <= wet * (1 + 1e-9) and wet <= reading.high


def test_comb_film_a_hair_under_the_last_tooth_is_refused():
    with refused("no solution", "wet_film"):
        film.comb_teeth("4999.9999999999 µm", teeth=["100 µm", "5 mm"])


def test_comb_of_your_own():
    teeth = film.comb_teeth("120 µm", teeth=["200 µm", "50 µm", "100 µm"])
    assert (teeth.wetted.m, teeth.dry.m) == (100, 200)
    with refused("no solution", "wet_film"):
        film.comb_teeth("250 µm", teeth=["50 µm", "100 µm"])
    with refused("order", "dry_tooth"):
        film.comb_reading("100 µm", "75 µm")


def test_calls_broadcast():
    dry, solids = np.full((4, 1), 50e-6), np.full(3, 0.4)
    assert film.wet_film.si(dry, solids, 0.1).shape == (4, 3)
    assert film.paint_needed.si(1.0, dry, solids, 0.5).shape == (4, 3)
    assert film.comb_teeth.si(np.full((2, 2), 8e-5)).wetted.shape == (2, 2)


def test_unknown_densities_give_bands():
    solids = band(film.volume_solids_from_mass, "60 %", "1.3 kg/L")
    assert solids.low < film.volume_solids_from_mass("60 %", "1.3 kg/L", "0.88 kg/L") < solids.high
    weighed = band(film.film_from_dry_mass, "8 g", "0.1 m²")
    assert weighed.high / weighed.low > 1.5


@pytest.mark.parametrize(
    ("call", "given_", "words"),
    [
        (film.spreading_rate, ("0 µm",), "below the range"),
        (film.wet_film, ("50 µm", 45), 'Write a share as "45 %"'),
        (film.wet_film, ("50 µm", "45 %", 10), 'Write a share as "10 %"'),
        (film.dry_film, ("80", "45 %"), "no unit"),
        (film.paint_needed, ("1 m²", "50 µm", "45 %", 0), "below"),
        (film.paint_needed, ("1 m²", "50 µm", "45 %", 0.5, 0), "below"),
        (film.volume_solids_from_mass, ("5 %", "1.3 kg/L"), "fill the can"),
        (film.acceptance_limits, ("80 µm", "60 µm"), "more than most_film"),
        (film.gauge_average, ("60 µm",), "at least three"),
    ],
)
def test_refusals_say_what_to_do(call, given_, words):
    with pytest.raises(InputError) as refusal:
        call(*given_)
    assert words in str(refusal.value)


def test_film_builds_are_ordered_and_have_sources():
    for key, row in load_data("film_builds").items():
        assert row["source"] in sources(), key
        if "high" in row:
            assert read(row["low"], "dry_film") <= read(row["high"], "dry_film"), key


def test_range_is_named_in_the_callers_unit():
    with pytest.raises(RangeError, match="mil"):
        film.dry_film("300 mil", "45 %")


@pytest.mark.parametrize("magnitude", [1 + 2j, np.array([1 + 2j, 3])])
def test_complex_numbers_are_refused_without_a_warning(magnitude):
    with refused("no number", "wet_film"):
        film.dry_film(pint.get_application_registry().Quantity(magnitude, "µm"), "40 %")
