"""Transfer, drops, flight and runs: composed results held by numbers worked by hand, and what the papers support."""

import inspect
import math

import numpy as np
import pytest
from scipy import integrate

from coursekit import spraying
from coursekit.constants import AIR_DENSITY
from coursekit.quantities import InputError
from coursekit.sources import coefficient
from coursekit.spraying import drops, runs, transfer
from coursekit.uncertain import Coefficient
from tests.calls import refused
from tests.test_spraying_setting import CLEAR

REFERENCE = {
    "turns": 2.0,
    "gun_inlet_pressure": 2e5,
    "fan_opening": 1.0,
    "gun_distance": 0.175,
    "gun_speed": 0.45,
    "overlap": 0.5,
    "trigger": 1.0,
    "panel_width": 1.0,
    "panel_height": 0.7,
    **CLEAR,
}


def plain(name):
    return float(coefficient(name))


def reference(**over):
    given = {**REFERENCE, **over}
    middle = {name: float(value) for name, value in defaults().items()}
    return spraying.spray_setting.si(**{**middle, **given})


def defaults():
    return {
        name: p.default
        for name, p in inspect.signature(spraying.spray_setting.si).parameters.items()
        if isinstance(p.default, Coefficient)
    }


def sampled(draws):
    """Each coefficient from its own band alone: the model before the facts in print have taught it."""
    random = np.random.default_rng(1)
    return {name: value.at(random.standard_normal(draws)) for name, value in defaults().items()}


def test_capture_by_hand():
    # Slot impactor at 10 m/s and 72 mm: √(9 · 1.81e-5 · 0.072 · 0.59 / (1000 · 10)) = 26.31 µm.
    assert spraying.spray_cut.si(0.2, 1000.0, 1.0, 0.4) == pytest.approx(26.306e-6, rel=1e-3)
    # Half the distance: (½)^0.4 = 0.7579; 1.3 kg/L: 1/√1.3 = 0.8771; the course's factor of 0.66 and power of 0.4.
    assert spraying.spray_cut.si(0.2) == pytest.approx(0.66 * 26.306e-6, rel=1e-3)
    assert spraying.spray_cut.si(0.1, 1300.0) == pytest.approx(0.66 * 26.306e-6 * 0.7579 * 0.8771, rel=1e-3)
    # At the cut ½ by momentum: 0.95 · (0.15 + 0.85 · 0.5) = 0.54625; at twice it 1/(1 + 2⁻⁵) = 0.9697, so 0.9255.
    assert spraying.landing_share.si(17e-6, 17e-6) == pytest.approx(0.54625, rel=1e-6)
    assert spraying.landing_share.si(34e-6, 17e-6) == pytest.approx(0.95 * (0.15 + 0.85 * 32 / 33), rel=1e-6)
    assert spraying.landing_share.si(0.1e-6, 17e-6) == pytest.approx(0.95 * 0.15, rel=1e-4), "the floor"
    assert spraying.landing_share.si(1e-3, 17e-6) == pytest.approx(0.95, rel=1e-4), "the ceiling"


def test_classes_by_hand():
    # Of a median of 28 µm and a spread of 2.5, 2^−(d/28)^2.5 lie above d: 0.4389 above 30 µm, 0.0095 above 60 µm;
    # those that dry to less than 10 µm begin under 10 / 0.45^⅓ = 13.05 µm: 0.0977.
    sprayed = spraying.capture.si(28e-6, 17e-6, 0.45).class_sprayed
    np.testing.assert_allclose(sprayed, [0.0977, 1 - 0.0977 - 0.4389, 0.4389 - 0.0095, 0.0095], atol=1e-4)


def test_the_slowest_jet():
    assert spraying.drop_size.si(2e-6, 3.6e3, 30e-6).mass_median > 50e-6
    with refused("range", "cap_pressure"):
        spraying.drop_size.si(2e-6, 3.4e3, 30e-6)


def test_drops_of_paint_five_times_as_thick_as_the_range_and_no_thicker():
    """The fit ends at 50 mPa·s: 4.98 times that is taken, 5.02 is not. A litre weighs 1 kg unless said."""
    for viscosity, taken in ((249e-6, True), (251e-6, False)):
        if taken:
            found = spraying.drop_size.si(3e-6, 68.9e3, viscosity, nozzle_viscosity=1.0)
            assert found.stretch == pytest.approx(4.98, rel=1e-6)
            assert found.nozzle_viscosity == pytest.approx(0.249, rel=1e-6)
        else:
            with pytest.raises(InputError, match="five times outside"):
                spraying.drop_size.si(3e-6, 68.9e3, viscosity, nozzle_viscosity=1.0)


# Where each fit holds, as its source prints it: SI, the ends of each input.
FITTED = {
    "Kim and Marshall": {"viscosity": (1e-3, 50e-3), "speed": (75, 393), "ratio": (0.06, 40)},
    "Nukiyama and Tanasawa": {
        "viscosity": (0.3e-3, 50e-3),
        "density": (700, 1200),
        "surface_tension": (0.019, 0.073),
    },
    "Lorenzetto and Lefebvre": {"viscosity": (1e-3, 76e-3), "speed": (60, 180), "ratio": (1, 16)},
    "Rizk and Lefebvre": {
        "viscosity": (1e-3, 10e-3),
        "speed": (10, 120),
        "ratio": (2, 8),
        "bore": (0.55e-3, 0.75e-3),
    },
    "El-Shanawany and Lefebvre": {"viscosity": (1e-3, 44e-3), "speed": (60, 190), "bore": (12e-3, 38e-3)},
}


@pytest.mark.parametrize("name", FITTED)
def test_how_far_outside_its_fit_an_input_lies(name):
    """Half as much again beyond either end is 1.5 times outside, whichever input it is; within both ends it is 1."""
    ranges, of = FITTED[name], drops.CORRELATIONS[name]
    middle = {part: (low * high) ** 0.5 for part, (low, high) in ranges.items()}

    def state(**values):
        ratio = values.pop("ratio", 1.0)
        spray = drops.SprayState(**{**dict.fromkeys(drops.SprayState._fields, 1.0), **values})
        return spray._replace(air_flow=ratio * spray.liquid_flow * spray.density)

    assert drops.stretch(of, state(**middle)) == 1
    for part, (low, high) in ranges.items():
        for value, off in ((low, 1), (high, 1), (low / 1.5, 1.5), (1.5 * high, 1.5)):
            assert drops.stretch(of, state(**{**middle, part: value})) == pytest.approx(off, rel=1e-9)


def test_the_printed_formula_breaks_at_three_parts_of_air_and_the_bent_one_does_not():
    """As printed 1/2.999 becomes 1/√3.001 at once; bent it goes by both within a tenth."""
    below, above = drops._printed(2.999), drops._printed(3.001)
    assert (below, above) == (pytest.approx(0.33344, abs=1e-5), pytest.approx(0.57725, abs=1e-5))
    assert drops._bent(3.0) == pytest.approx(2 ** (1 / 16) / 3, rel=1e-12)
    assert drops._bent(1.0) == pytest.approx(1.0, abs=1e-4) and drops._bent(30.0) == pytest.approx(10**0.5 / 30)


def test_waves_shorter_than_the_film_allows_are_refused():
    """The shortest is 2π times the film: 0.628 mm on 100 µm."""
    assert runs.levelling_time.si(0.63e-3, 100e-6, 0.1, 0.03) == pytest.approx(1.0107e-3, rel=1e-3)
    with pytest.raises(InputError, match="much longer than the film"):
        runs.levelling_time.si(0.62e-3, 100e-6, 0.1, 0.03)


# Each fit's terms as its source prints them, by logarithms: the factor, then the power of each quantity.
POWERS = {
    "Kim and Marshall": [
        (5.36e-3, {"sigma": 0.41, "mu": 0.32, "q": -0.57, "area": -0.36, "rho": -0.16}),
        (3.44e-3, {"mu": 0.34, "rho": -0.17, "sigma": -0.17, "speed": -0.54, "bent": 1}),
    ],
    "Nukiyama and Tanasawa": [
        (0.585, {"sigma": 0.5, "rho": -0.5, "speed": -1}),
        (597e-6 * 10**4.95, {"mu": 0.45, "sigma": -0.225, "rho": -0.225, "volumes": 1.5}),
    ],
    "Lorenzetto and Lefebvre": [
        (0.95, {"sigma": 0.33, "flow": 0.33, "rho": -0.04, "speed": -1, "air": -0.30, "gas": 1.70}),
        (0.13, {"mu": 1, "bore": 0.5, "sigma": -0.5, "rho": -0.5, "gas": 1.70}),
    ],
    "Rizk and Lefebvre": [
        (0.48, {"bore": 0.6, "sigma": 0.4, "q": -0.4, "gas": 0.4}),
        (0.15, {"bore": 0.5, "mu": 1, "sigma": -0.5, "rho": -0.5, "gas": 1}),
    ],
    "El-Shanawany and Lefebvre": [
        (0.33, {"bore": 0.4, "sigma": 0.6, "q": -0.6, "rho": 0.1, "air": -0.1, "gas": 1}),
        (0.068, {"bore": 0.5, "mu": 1, "sigma": -0.5, "rho": -0.5, "gas": 1}),
    ],
    "Jasuja": [
        (0.022, {"sigma": 0.45, "q": -0.45, "gas": 0.5}),
        (0.00143, {"mu": 0.8, "sigma": -0.4, "rho": -0.4, "gas": 0.8}),
    ],
}


@pytest.mark.parametrize("name", POWERS)
def test_each_drop_formula_by_the_powers_that_are_printed(name):
    """20 mPa·s, 900 kg/m³, 30 mN/m, 2 mL/s behind 0.7 mm; air of 150 m/s, 2.5 times the paint by mass."""
    flow, air_flow = 2e-6, 2.5 * 2e-6 * 900
    state = drops.SprayState(0.02, 900.0, 0.03, flow, 150.0, 1.3, air_flow, 0.7e-3, 7e-6)
    values = {
        "mu": 0.02,
        "rho": 900.0,
        "sigma": 0.03,
        "flow": flow,
        "speed": 150.0,
        "air": 1.3,
        "q": 1.3 * 150.0**2,
        "bore": 0.7e-3,
        "area": 7e-6,
        "gas": 1.4,
        "bent": (1 + (2.5 / 3) ** 8) ** (1 / 16) / 2.5,
        "volumes": flow * AIR_DENSITY / air_flow,
    }
    expected = sum(
        factor * math.exp(sum(power * math.log(values[key]) for key, power in powers.items()))
        for factor, powers in POWERS[name]
    )
    assert drops.CORRELATIONS[name].compute(state) == pytest.approx(expected, rel=1e-9)


def test_a_held_wave_by_hand():
    """1 Pa under 3 mm of wave on 100 µm at 30 mN/m: (0.47746 mm)³ over 3·10⁻⁶ N."""
    assert runs.held_wave.si(3e-3, 100e-6, 1.0, 0.03) == pytest.approx(3.6282e-5, rel=1e-4)


def test_drop_size_by_hand():
    # 150 mL/min of 18 mPa·s (60 % of 30 mm²/s at 1 kg/L), 10 psi at the cap: U 284.9 m/s, ρ 1.397 kg/m³, 5.692 g/s
    # through 14.3 mm², ratio 2.277. First term: 5.36e-3 · 0.028^0.41 · 0.018^0.32 / ((1.397 · 284.9²)^0.57 ·
    # (14.3e-6)^0.36 · 1000^0.16) = 8.238 µm; second: 3.44e-3 · (0.018² / (1000 · 0.028))^0.17 / 2.277 / 284.9^0.54
    # = 10.34 µm, times 1.0059 for the bend at a ratio of 3; and 1.4 of the calibration.
    speed, air, ratio = 284.9, 1.397, 2.277
    first = 5.36e-3 * 0.028**0.41 * 0.018**0.32 / ((air * speed**2) ** 0.57 * 14.3e-6**0.36 * 1000**0.16)
    second = 3.44e-3 * (0.018**2 / 28) ** 0.17 / ratio / speed**0.54 * (1 + (ratio / 3) ** 8) ** (1 / 16)
    found = spraying.drop_size.si(150e-6 / 60, 68.9e3, 30e-6, 1000.0)
    assert found.mass_median == pytest.approx(1.4 * (first + second), rel=2e-3)
    assert 1e6 * found.mass_median == pytest.approx(26.3, abs=0.15)
    # Rosin-Rammler of 2.5: (ln 2)^0.4 · Γ(0.6) = 0.8636 · 1.4892 = 1.286 between median and Sauter mean.
    assert found.mass_median / found.sauter == pytest.approx(1.286, abs=1e-3)
    # Twice the pressure: what the correlation says, and 2^−0.1 = 0.933 beside.
    alone, with_power = (
        spraying.drop_size.si(2.5e-6, 137.8e3, 30e-6, 1000.0, drop_pressure_power=p).mass_median for p in (0.0, 0.1)
    )
    assert with_power / alone == pytest.approx(0.933, abs=5e-4)
    assert spraying.drop_size.si(2.5e-6, 137.8e3, 30e-6, 1000.0).mass_median / alone == pytest.approx(0.933, abs=5e-4)


def test_drops_move_with_pressure_and_viscosity_as_printed():
    """Source: twin-fluid-trends, from memory: pressure to −0.4 … −0.6, viscosity to 0.2 … 0.45, at one delivery."""
    pressure = np.array([50e3, 100e3, 200e3])
    sizes = spraying.drop_size.si(150e-6 / 60, pressure, 30e-6, 1000.0).mass_median
    powers = np.diff(np.log(sizes)) / np.diff(np.log(pressure))
    assert np.all((powers > -0.65) & (powers < -0.4))
    thin, thick = (spraying.drop_size.si(150e-6 / 60, 68.9e3, v, 1000.0).mass_median for v in (25e-6, 50e-6))
    assert 0.2 < np.log2(thick / thin) < 0.45


def test_a_stored_spray_has_four_fifths_below_a_tenth_of_a_millimetre():
    """Source: near-nozzle-sizes, published: 80 % at most 100 µm, 4.95 g/s at 2.6 atm; by number or mass is not said.

    The model has more below, and says so: its spray is that of a gun further away, without the threads at the nozzle.
    """
    found = spraying.drop_size.si(4.95e-6, 1.6e5, 30e-6, 1000.0, drop_calibration=plain("drop_calibration"))
    assert 0.80 < spraying.volume_below.si(100e-6, found.mass_median) <= 1


def test_a_coat_of_clear_by_hand():
    found = reference()
    assert 6e7 * found.fluid_delivery == pytest.approx(168.7, abs=0.1)
    assert 1e6 * found.median_drop == pytest.approx(27.90, abs=0.02)
    # The spray over all its drops, independently of the classes: ∫ E(d) dV with the cut of 16.46 µm at 175 mm.
    cut, median = 0.66 * 26.306e-6 * 0.875**0.4, float(found.median_drop)
    assert 1e6 * cut == pytest.approx(16.46, abs=0.01)

    def landing(below, power=0.0):
        def rate(u):
            d = median * (u / math.log(2)) ** 0.4
            return math.exp(-u) * 0.95 * (0.15 + 0.85 / (1 + (cut / d) ** 5))

        return integrate.quad(rate, 0, math.log(2) * (below / median) ** 2.5)[0]

    whole = landing(3e-4)
    assert found.captured == pytest.approx(whole, abs=2e-4) == pytest.approx(0.7770, abs=3e-4)
    # Aimed 0.7985; so per part landed (1 − 0.7770) / 0.7770 = 0.287 mist and 0.2015 / (0.7985 · 0.7770) = 0.325 past.
    assert found.account.transfer_efficiency == pytest.approx(0.6204, abs=3e-4)
    assert found.mist_per_landed == pytest.approx(0.287, abs=5e-4)
    assert found.past_edge_per_landed == pytest.approx(0.325, abs=5e-4)
    # 168.7 mL/min · 0.45 · 0.7770 / (0.45 m/s · 116.7 mm): the step that fits six times into 0.7 m.
    assert found.pitch == pytest.approx(0.7 / 6)
    assert 1e6 * found.dry_film == pytest.approx(18.72, abs=0.03)
    # Momentum of 5.692 g/s at 284.9 m/s over π/4 · 245 · 63 mm of air of 1.204 kg/m³: 10.54 m/s at the panel.
    assert found.plume_speed == pytest.approx(10.54, abs=0.01)
    # So 175 mm take 175 mm / (2 · 10.54 m/s) = 8.30 ms, and 70 % of the solvent of a drop of
    # √(3.5e-9 · 8.30e-3 / 0.2768) = 10.25 µm is gone by then: what lands from smaller ones is dry.
    assert 1e6 * runs.driest_drop.si(8.304e-3, 0.45) == pytest.approx(10.25, abs=0.01)
    assert found.dry_spray == pytest.approx(landing(10.247e-6) / whole, rel=5e-3) == pytest.approx(0.0118, abs=1e-4)
    flown = found.account.solvent.in_flight / found.account.solvent.mixed
    assert flown == pytest.approx(0.1789, abs=3e-4)

    def dried(u):  # the same over all drops at once; the model takes four classes, each at its mean size
        left = max(0.0, 1 - 3.5e-9 * 8.304e-3 / (median * (u / math.log(2)) ** 0.4) ** 2)
        return math.exp(-u) * min(1.0, (1 - left**1.5) / 0.55)

    assert flown == pytest.approx(integrate.quad(dried, 0, 30, limit=200)[0], rel=0.1)
    # What lands has lost 12.0 %: 18.72 µm · (1 + 1.2222 · 0.880).
    assert 1e6 * found.wet_film == pytest.approx(38.86, abs=0.05)
    assert 1e6 * found.texture == pytest.approx(found_texture(found), rel=2e-3)


def found_texture(found):
    """√(film · solids of the volume-mean drop) / 1 mm, in µm: Γ(2.2) of the spread of 2.5, times ln 2 to −1.2."""
    cube = float(found.median_drop) ** 3 * math.gamma(2.2) / math.log(2) ** 1.2
    return 1e6 * math.sqrt(float(found.dry_film) * 0.45 * math.pi / 6 * cube) / 1e-3


def test_the_fan_by_hand():
    # At 175 mm, seven eighths of the widths at 200 mm: 280 mm open, 75 mm closed, 177.5 mm half open.
    np.testing.assert_allclose(spraying.fan_width.si(np.array([0, 0.5, 1]), 0.175), [0.065625, 0.1553125, 0.245])


def test_only_distance_and_drops_change_what_lands():
    """Source: drop-transport, published: pressure acts through finer drops, distance on the transport itself."""
    cut = [spraying.spray_cut.si(z) for z in (0.15, 0.3)]
    assert cut[1] / cut[0] == pytest.approx(2**0.4)
    soft, hard = (reference(gun_inlet_pressure=p) for p in (1e5, 3e5))
    for found in (soft, hard):
        again = transfer.capture.si(found.median_drop, spraying.spray_cut.si(0.175), 0.45)
        assert found.captured == pytest.approx(again.share)
    assert hard.median_drop < soft.median_drop and hard.captured < soft.captured
    # Narrower fans blow harder at the panel and land the same of each size.
    narrow, wide = (reference(fan_opening=f) for f in (0.5, 1.0))
    assert narrow.plume_speed > wide.plume_speed and narrow.captured == pytest.approx(wide.captured)


def test_flat_plate_transfer_falls_as_a_line_with_the_air_over_the_paint():
    """Source: transfer-trials, published: 66 to 87 % on a flat plate, linear in air over liquid by mass."""
    drops = spraying.drop_size.si(150e-6 / 60, np.linspace(25e3, 95e3, 12), 30e-6, 1000.0)
    caught = spraying.capture.si(drops.mass_median, spraying.spray_cut.si(0.175), 0.45).share
    ratio = drops.air_liquid_ratio
    line = np.polynomial.Polynomial.fit(ratio, caught, 1)
    assert np.all(np.diff(caught) < 0)
    assert np.abs(line(ratio) - caught).max() < 0.02
    assert caught.max() > 0.85 and 0.64 < caught.min() < 0.72


def two_guns(paint, draws=1000):
    """A low-pressure gun and a conventional one of half its holes with 3 bar at the cap, at one delivery."""
    drawn = sampled(draws)
    given = {**REFERENCE, **paint}
    low = spraying.spray_setting.si(**given, **drawn)
    other = {**drawn, "passage_ratio": 5.0, "cap_area": drawn["cap_area"] / 2}
    flow = spraying.spray_setting.si(**{**given, "gun_inlet_pressure": 3e5}, **other).fluid_delivery
    other["delivery_scale"] = drawn["delivery_scale"] * low.fluid_delivery / flow
    return low, spraying.spray_setting.si(**{**given, "gun_inlet_pressure": 3e5}, **other)


SURFACER = {"tip_bore": 1.6e-3, "kinematic_viscosity": 70e-6, "density": 1300.0, "volume_solids": 0.42}


@pytest.mark.parametrize("paint", [CLEAR, SURFACER], ids=["clear", "surfacer"])
def test_two_guns_on_a_car_body_lie_in_the_band_of_the_untaught_model(paint):
    """Published: film × 1.33, mist × 2 (Heitbrink 1996); airborne isocyanate × 2 to 5 (isocyanate-of-two-guns)."""
    low, other = two_guns(paint)
    film, mist = low.captured / other.captured, other.mist_per_landed / low.mist_per_landed
    floating = other.account.solids.airborne / low.account.solids.airborne
    for ratio, printed in ((film, 1.33), (mist, 2.0), (floating, 2.0)):
        least, most = np.percentile(ratio, [5, 95])
        assert least < printed < most
    assert np.mean(film > 1) > 0.9 and np.mean(mist > 1) > 0.9


@pytest.mark.parametrize("trigger", [0.75, 0.6, 0.5])
@pytest.mark.parametrize("paint", [CLEAR, SURFACER], ids=["clear", "surfacer"])
def test_low_air_with_part_trigger_loses_less_than_high_air_wide_open(paint, trigger):
    """Pressure no longer pays itself back. Common practice, no source: in nine guns of ten, whatever the trigger."""
    drawn = sampled(1000)
    given = {**REFERENCE, **paint, "gun_inlet_pressure": 0.827e5, "trigger": trigger}
    low = spraying.spray_setting.si(**given, **drawn)
    high = spraying.spray_setting.si(**{**REFERENCE, **paint}, **drawn)
    assert np.mean(low.mist_per_landed < high.mist_per_landed) > 0.97


def test_smaller_targets_keep_less_in_the_order_of_the_standards():
    """Source: nsps-transfer, from memory: furniture 25, appliances 40, car bodies 50 %."""
    sizes = [(0.6, 0.04, 0.5), (0.7, 0.8, 1.0), (2.0, 1.2, 1.0)]
    kept = [
        float(
            reference(
                panel_width=w,
                panel_height=h,
                fan_opening=f,
                gun_inlet_pressure=3e5,
                passage_ratio=5.0,
                cap_area=7.15e-6,
            ).account.transfer_efficiency
        )
        for w, h, f in sizes
    ]
    assert kept == sorted(kept) and kept[0] < 0.4 * kept[1]


def test_runs_by_hand():
    # 1000 · 9.80665 / (2 · 0.12) · 120 / ln 10 = 2.1295e6; times (108² − 100²) µm² = 1664e-12: 3.543 mm.
    assert 1e3 * runs.neighbour_sag.si(108e-6, 100e-6, 0.12, 1000.0, 120.0) == pytest.approx(3.543, abs=2e-3)
    # 0.3 Pa hold 30.59 µm: 77.41² − 69.41² = 1174.6 µm² flow.
    assert 1e3 * runs.neighbour_sag.si(108e-6, 100e-6, 0.12, 1000.0, 120.0, 0.3) == pytest.approx(2.501, abs=2e-3)
    # On a slope of 30° half the pull: half the way.
    assert 1e3 * runs.neighbour_sag.si(108e-6, 100e-6, 0.12, 1000.0, 120.0, 0.0, math.radians(30)) == pytest.approx(
        1.772, abs=2e-3
    )
    assert runs.neighbour_sag.si(108e-6, 100e-6, 0.12, 1000.0, 120.0, 2.0) == 0, "2 Pa hold 204 µm"
    # Without thickening: 1000 · 9.80665 · (60 µm)² / (2 · 0.1) = 0.1765 mm/s.
    assert 1e3 * runs.sag_speed.si(60e-6, 0.1, 1000.0) == pytest.approx(0.1765, abs=1e-4)
    # Levelling: 3 · 0.1 · (3 mm / 2π)⁴ / (0.03 · (50 µm)³) = 4.158 s.
    assert runs.levelling_time.si(3e-3, 50e-6, 0.1, 0.03) == pytest.approx(4.158, abs=2e-3)
    middle = [plain(name) for name in ("landed_viscosity", "tenfold_time", "seen_sag", "yield_stress")]
    assert middle == [0.12, 120.0, 4e-3, 1.2]


def test_the_wet_film_that_hangs_in_recipes_is_that_of_the_sag():
    """A hand uneven by 8 %: clear of the middle flow and thickening is seen to run at 120 µm, as the table has it."""
    from coursekit.nomenclature import load_data
    from coursekit.quantities import read

    limit = read(load_data("repair_materials")["clear"]["sag_limit"], "wet_film")
    seen = coefficient("seen_sag")
    sag = runs.neighbour_sag.si(1.08 * limit, limit, plain("landed_viscosity"), 1000.0, plain("tenfold_time"))
    assert seen.low < sag <= seen.high * 1.05


def test_flight_and_flash_by_hand():
    # A drop of 20 µm, 10 ms, 3.5e-9 m²/s: 1 − (1 − 0.0875)^1.5 = 0.1283 of its volume, of 55 % solvent: 23.3 %.
    assert runs.drop_loss.si(20e-6, 10e-3, 0.45) == pytest.approx(0.1283 / 0.55, rel=2e-3)
    # At 35 °C butyl acetate's pressure is 2.28 times that at 20 °C and (308.15 / 293.15)^0.75 = 1.038 for diffusion.
    hot = runs.drying_constant.si(308.15, 1.0) / 3.5e-9
    assert hot == pytest.approx(2.28 * 1.038, rel=0.02)
    assert runs.drying_constant.si(293.15, 2.0) == pytest.approx(7e-9)
