import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursekit import film, mixing
from coursekit.belief import band
from coursekit.mixing.ratio import read_ratio
from coursekit.nomenclature import load_data
from coursekit.quantities import InputError, read
from coursekit.sources import sources
from tests.calls import refused
from tests.spelling import spelled

parts = st.lists(st.integers(1, 200), min_size=2, max_size=5)
densities = st.floats(700, 2000)


@given(parts, st.floats(1e-5, 0.1), st.data())
def test_batch_conserves_volume_and_mass(numbers, total, data):
    rho = np.array(data.draw(st.lists(densities, min_size=len(numbers), max_size=len(numbers))))
    mix = mixing.batch.si(":".join(map(str, numbers)), total, rho)
    assert sum(mix.volumes) == pytest.approx(total) and mix.fill_lines[-1] == pytest.approx(total)
    assert mix.running_weights[-1] == pytest.approx(sum(mix.masses))
    assert np.all(np.diff(mix.running_weights) > 0)
    assert mix.density == pytest.approx(mixing.mix_density.si(":".join(map(str, numbers)), rho))
    assert mix.volumes[1] / mix.volumes[0] == pytest.approx(numbers[1] / numbers[0])


@given(parts, st.integers(0, 200))
def test_reducer_in_per_cent_goes_on_top(numbers, percent):
    read_one = read_ratio(":".join(map(str, numbers)) + f" + {percent} %")
    assert read_one.parts[-1] == pytest.approx(sum(numbers) * percent / 100)
    of_first = read_ratio(":".join(map(str, numbers)) + f" +{percent}% of the first")
    assert of_first.parts[-1] == pytest.approx(numbers[0] * percent / 100)
    assert read_one.shares.sum() == pytest.approx(1)


@given(st.lists(st.integers(5, 100), min_size=2, max_size=4), st.data())
def test_parts_by_mass_and_volume_there_and_back(numbers, data):
    rho = np.array(data.draw(st.lists(densities, min_size=len(numbers), max_size=len(numbers))))
    volume = mixing.parts_by_mass_to_volume.si(":".join(map(str, numbers)), rho)
    back = mixing.parts_by_volume_to_mass.si(volume.ratio, rho)
    assert np.array(back.parts) == pytest.approx(np.array(numbers) / numbers[0] * 100, rel=0.01)


def test_thinner_in_the_mix_and_in_the_film_agree():
    """A reducer as a part of the ratio and as a reduction of the film are one thing."""
    solids = mixing.mix_volume_solids("2:1 +10 %", ["50 %", "40 %", 0])
    before = mixing.mix_volume_solids("2:1", ["50 %", "40 %"])
    assert film.thinned_volume_solids(before, "10 %").m == pytest.approx(solids.m)


def test_batch_for_area_lays_the_film():
    mix = mixing.batch_for_area("4:1:1", "1.2 m²", "40 µm", "42 %", "55 %", 2, 0)
    sprayed = sum(mix.volumes)
    assert film.film_from_paint(sprayed, "1.2 m²", "42 %", "55 %", 2).m == pytest.approx(40)
    more = mixing.batch_for_area("4:1:1", "1.2 m²", "40 µm", "42 %", "55 %", 2, "15 %")
    assert sum(more.volumes).m == pytest.approx(1.15 * sprayed.m)
    # 96 cm³ dry / 42 % / 55 % = 415.6 mL sprayed; a small area needs the 50 mL of cup and gun as a large one does.
    assert sprayed.m == pytest.approx(415.6, abs=0.05)
    whole = mixing.batch_for_area("4:1:1", "1.2 m²", "40 µm", "42 %", "55 %", 2, "15 %", left="50 mL")
    assert sum(whole.volumes).m == pytest.approx(1.15 * 415.6 + 50, abs=0.1)


def test_mass_shares_are_not_averaged_by_volume():
    rho, voc = ["1.4 kg/L", "0.88 kg/L"], ["40 %", "100 %"]
    right = mixing.mix_mass_share("1:1", rho, voc)
    assert right.m == pytest.approx((1.4 * 0.4 + 0.88) / (1.4 + 0.88))
    assert right.m < 0.7 - 0.05  # the shortcut by volume would say 70 %


def test_shares_tell_the_two_per_cents_apart():
    found = mixing.shares("4:1:1")
    assert found.of_mix[1].m == pytest.approx(1 / 6) and found.of_first[1].m == pytest.approx(0.25)


BAD_RATIOS = [
    "4;1;1",
    "4:0:1",
    "nan",
    "inf:1",
    "",
    " ",
    ":",
    "4:",
    ":1",
    "4:1:",
    "4",
    "-4:1",
    "4:-1",
    "1e3:1",
    "4:1:10 %",
    "25%:75%",
    "2,5:1",
    "2:1 +5-10 %",
    "2:1 +",
    "2:1 +10",
    "2:1 +-5 %",
    "2:1 +900 %",
    "2:1 +10 % +5 %",
    "1:2:3:4:5:6:7",
    "4:1 by mass",
    "4:1:" + "1" * 100,
    "four:one",
    "٤:١",
    "4∶1",
    "__import__('os')",
    "1:" * 30,
    4,
    4.5,
    None,
    True,
    [4, 1, 1],
    (4, 1),
    {"a": 1},
    object(),
    float("nan"),
    b"4:1",
    np.array([4, 1]),
]


@pytest.mark.parametrize("ratio", BAD_RATIOS, ids=spelled)
def test_bad_ratios_are_one_clear_error(ratio):
    with pytest.raises(InputError) as refusal:
        mixing.batch(ratio, "1 L")
    assert str(refusal.value).startswith("ratio: ") and refusal.value.remedy


@pytest.mark.parametrize(
    "ratio",
    [
        "4:1:1",
        " 4 : 1 : 1 ",
        "2:1+10%",
        "100:50",
        "2.5:1",
        "1 +25 %",
        "4:1 by volume",
        "2:1 + 10 % reducer",
        "1:1 +0 %",
    ],
)
def test_ratios_as_sheets_print_them(ratio):
    assert sum(mixing.batch(ratio, "1 L").volumes).m == pytest.approx(1000)


BAD_DENSITIES = [
    ["1.2 kg/L"],
    ["1.2 kg/L"] * 4,
    "1.2 kg/L",
    [],
    [1.2, 1.0, 0.9],
    ["1.2 kg/L", None, "1 kg/L"],
    ["1.2 kg", "1 kg/L", "1 kg/L"],
    {},
]


@pytest.mark.parametrize("wrong", BAD_DENSITIES, ids=spelled)
def test_bad_densities_are_one_clear_error(wrong):
    with refused(None, "densities"):
        mixing.batch("4:1:1", "1 L", wrong)


@given(st.floats(5, 500), st.floats(0.05, 0.5), st.floats(0.9, 1.2))
def test_index_there_and_back(hydroxyl, nco, index):
    needed = mixing.isocyanate_parts.si(hydroxyl / 1000, nco, index)
    ratio = f"100:{needed:.4f}"
    if needed < 99_000:
        check = mixing.isocyanate_index.si(ratio, np.array([1000.0, 1000.0]), hydroxyl / 1000, nco)
        assert check.index == pytest.approx(index, rel=1e-3)
        assert "within" in check.verdict or not 0.901 < index < 1.199  # rounding at the ends


def test_index_out_of_the_usual_is_said():
    even = ["1 kg/L", "1 kg/L"]
    assert "too little" in mixing.isocyanate_index("100:52", even, 140, "16 %").verdict
    assert "too much" in mixing.isocyanate_index("100:85", even, 140, "16 %").verdict
    by_solids = mixing.delivered_hydroxyl_value(140, "60 %")
    assert mixing.isocyanate_parts(by_solids, "16 %").m == pytest.approx(0.6 * mixing.isocyanate_parts(140, "16 %").m)


@given(st.floats(283.2, 311.1), st.floats(283.2, 311.1))
def test_pot_life_falls_with_heat_and_comes_back(one, other):
    life = mixing.pot_life.si(7200.0, one, other, 2.0)
    assert mixing.pot_life.si(life, other, one, 2.0) == pytest.approx(7200)
    assert (life > 7200) == (one < other) or one == pytest.approx(other)


def test_pot_life_band_holds_the_two_measured_paints():
    for printed, reference in (("2 h", "8 h"), ("6 h", "15 h")):
        found = band(mixing.pot_life, reference, "100 °F", "70 °F")
        assert found.low.m_as("h") * 0.98 <= read(printed, "pot_life") / 3600 <= found.high.m_as("h") * 1.02


def test_pot_life_says_no():
    for temperature in ("5 °C", "45 °C", "4", "21 K", 21):
        with pytest.raises(InputError):
            mixing.pot_life("2 h", temperature)
    with refused("impossible", "elapsed"):
        mixing.viscosity_growth("3 h", "2 h")
    assert mixing.viscosity_growth("2 h", "2 h").m == pytest.approx(2)


@given(st.floats(0.05, 0.9), st.floats(0, 0.6), st.floats(800, 1500))
def test_water_never_lowers_voc_less_water(solids, water, density):
    rest = 1 - water * density / 998.2
    if solids + water > 1 or rest < 0.05 or (1 - solids - water) * density > 1400 * rest:
        return  # more than the whole, or a solvent heavier than any
    found = mixing.voc.si(solids, water, density)
    assert found.less_water >= found.as_applied
    # Add a tenth of water by mass: the mass of VOC and the volume without water stay.
    diluted = 1 / (1 / density + 0.1 / 998.2) * 1.1
    after = mixing.voc.si(solids / 1.1, (water + 0.1) / 1.1, diluted)
    assert after.less_water == pytest.approx(found.less_water, rel=1e-6, abs=1e-6)
    assert after.as_applied <= found.as_applied + 1e-9


@given(st.floats(0.1, 3), st.floats(2, 8), st.floats(300, 800), st.floats(0.1, 900))
def test_largest_thinner_lands_on_the_limit(voc_mass, litres, limit, thinner):
    volume = litres / 1000
    found = mixing.largest_thinner.si(voc_mass, volume, limit, thinner)
    if voc_mass / volume > limit * (1 + 1e-6):
        assert found.volume == 0 and "already over" in found.verdict
    elif thinner <= limit:
        assert found.volume == np.inf and "never" in found.verdict
    else:
        after = (voc_mass + found.volume * thinner) / (volume + found.volume)
        assert after == pytest.approx(limit)


def test_voc_refuses_a_solvent_heavier_than_any():
    with refused("impossible", "density"):
        mixing.voc(0, "70 %", "1.3 kg/L")  # it would come to 4400 g/L without the water
    assert mixing.voc(0, 0, "1.5 kg/L").less_water.m == pytest.approx(1500)


def test_voc_refuses_what_cannot_be():
    for given_ in ((0.6, 0.5, "1 kg/L"), (0.01, 0.95, "1.2 kg/L"), (60, 0, "1 kg/L"), ("60 %", 0, 1.2)):
        with pytest.raises(InputError):
            mixing.voc(*given_)
    exempt = mixing.voc("50 %", 0, "1 kg/L", "20 %")
    assert exempt.less_water > exempt.as_applied


def test_base_and_clear_are_judged_together_where_the_rule_does():
    base, clear = "623 g/L", "503 g/L"
    alone = mixing.voc_check("US national", "base", base)
    assert alone.within is False and "judged together" in alone.verdict
    assert mixing.voc_check("US national", "base and clear", mixing.voc_of_stages(base, clear)).within is True
    assert "judged together" not in mixing.voc_check("EU", "base", base).verdict


def test_cleaners_of_the_eu_count_their_water():
    for word in ("cleaner", "pre-cleaner"):
        assert "water counts" in mixing.voc_check("EU", word, "150 g/L").verdict
    assert "water counts" not in mixing.voc_check("EU", "primer", "150 g/L").verdict


def test_rules_name_themselves_and_take_the_tighter_limit():
    check = mixing.voc_check("eu", "Clear", "430 g/L")
    assert check.within is False and "EU" in check.verdict and check.coating == "topcoat"
    for rule, table in load_data("voc_limits").items():
        assert table["source"] in sources()
        for word, row in table["coatings"].items():
            assert row["source"] in sources()
            assert mixing.voc_check(rule, word, row["limit"]).within is True
            assert mixing.voc_check(rule, word, "1400 g/L").within is False
    for coating in (None, "", 3, "x" * 50, "sealer,"):
        with pytest.raises(InputError):
            mixing.voc_check("EU", coating, "430 g/L")


@pytest.mark.parametrize(
    ("temperature", "area", "speed"),
    [
        ("15 °C", "1 m²", "fast"),
        ("21 °C", "1 m²", "medium"),
        ("27 °C", "1 m²", "slow"),
        ("21 °C", "4 m²", "slow"),
        ("32 °C", "1 m²", "extra slow"),
        ("35 °C", "10 m²", "extra slow"),
    ],
)
def test_reducer_is_slower_in_heat_and_on_large_areas(temperature, area, speed):
    """Common practice, no source."""
    assert mixing.reducer_for(temperature, area).speed == speed


def test_calls_broadcast():
    life = mixing.pot_life.si(np.full((3, 1), 7200.0), np.full(4, 290.0))
    assert life.shape == (3, 4)
    assert mixing.batch.si("4:1:1", np.full(5, 1e-3)).volumes[0].shape == (5,)
    assert mixing.voc.si(np.full((2, 1), 0.5), 0.1, np.full(3, 1000.0)).less_water.shape == (2, 3)
    assert mixing.largest_thinner.si(np.ones(3), 4e-3, 420.0, 880.0).verdict.shape == (3,)
    assert mixing.isocyanate_parts.si(np.full(3, 0.14), 0.2).shape == (3,)
