"""A setting of the gun from air to film: balances, quadrature, what practice says, and the question backwards."""

import inspect
import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate

from coursekit import spraying
from coursekit.belief import band
from coursekit.quantities import InputError, RangeError, read_arguments
from coursekit.registry import units
from coursekit.sources import coefficient
from coursekit.spraying import choose, drops, finding, masking, runs, setting, stroke, texture, transfer
from coursekit.spraying.drops import volume_below
from coursekit.uncertain import Coefficient
from tests.calls import refused

settings.register_profile("plain", deadline=None)
settings.load_profile("plain")
UREG = units()

PAINT = {
    "tip_bore": "1.6 mm",
    "kinematic_viscosity": "70 mm²/s",
    "density": "1.3 kg/L",
    "volume_solids": "42 %",
    "panel_width": "1 m",
    "panel_height": "0.7 m",
}
CLEAR = {"tip_bore": 1.3e-3, "kinematic_viscosity": 30e-6, "density": 1000.0, "volume_solids": 0.45}
LOW = choose.Setting(turns=2, gun_inlet_pressure="12 psi", fan_opening="75 %", trigger="75 %")
HIGH = choose.Setting(turns=2, gun_inlet_pressure="29 psi", fan_opening="100 %", trigger="100 %")


def sampled(call, draws, seed=1):
    random = np.random.default_rng(seed)
    return {
        name: p.default.at(random.standard_normal(draws))
        for name, p in inspect.signature(call.si).parameters.items()
        if isinstance(p.default, Coefficient)
    }


def sprayed(given_setting, **over):
    drawn = sampled(setting.spray_setting, 1000) | over
    given = choose.read_setting(given_setting, "first")._asdict() | read_arguments(setting.spray_setting.si, PAINT)
    return setting.spray_setting.si(**given | drawn)


def test_capture_matches_quadrature_class_by_class():
    for median, cut, solids, exponent, sharp in [
        (30e-6, 18e-6, 0.45, 2.5, 2.5),
        (55e-6, 12e-6, 0.12, 2.0, 3.0),
        (12e-6, 40e-6, 0.9, 3.0, 2.0),
    ]:
        floor, ceiling = 0.2, 0.93
        got = transfer.capture.si(median, cut, solids, exponent, sharp, floor, ceiling)
        floats = 10e-6 / solids ** (1 / 3)
        ends = [0, floats, max(floats, 30e-6), 60e-6, 1e-3]
        for number, (low, high) in enumerate(itertools.pairwise(ends)):

            def rate(log_size, median=median, cut=cut, exponent=exponent, sharp=sharp):
                ratio = np.log(2) * (np.exp(log_size) / median) ** exponent
                momentum = 1 / (1 + (cut / np.exp(log_size)) ** (2 * sharp))
                return exponent * ratio * np.exp(-ratio) * 0.93 * (0.2 + 0.8 * momentum)

            landed, _ = integrate.quad(rate, np.log(max(low, 1e-9)), np.log(high), epsabs=1e-12, limit=200)
            assert got.class_landed[number] == pytest.approx(landed, abs=5e-5)
        assert got.class_sprayed.sum() == pytest.approx(1, abs=1e-12)
        assert got.share == pytest.approx(got.class_landed.sum())
        assert got.class_sprayed[0] == pytest.approx(volume_below.si(floats, median, exponent))


@given(
    st.floats(2e-6, 4e-4),
    st.floats(2e-6, 9e-4),
    st.floats(0.02, 1),
    st.floats(1.1, 6),
    st.floats(1, 6),
    st.floats(0, 1),
    st.floats(0.5, 1),
)
def test_capture_stays_between_its_floor_and_its_ceiling(median, cut, solids, exponent, sharp, floor, ceiling):
    bounds = (floor, ceiling)
    got = transfer.capture.si(median, cut, solids, exponent, sharp, *bounds)
    assert floor * ceiling - 1e-12 <= got.share <= ceiling + 1e-12
    assert 0 <= got.share <= 1
    assert 0 <= got.airborne <= 1
    assert np.all(got.class_landed <= got.class_sprayed + 1e-15)
    assert transfer.capture.si(median * 1.1, cut, solids, exponent, sharp, *bounds).share >= got.share - 1e-6
    below = [transfer.landed_below(size, median, cut, exponent, sharp, *bounds) for size in (1e-6, 20e-6, 1e-3)]
    assert 0 <= below[0] <= below[1] <= below[2] <= 1 + 1e-12


def test_a_setting_keeps_solids_and_solvent_apart_and_whole():
    got = sprayed(LOW)
    for ledger in (got.account.solids, got.account.solvent, got.account.paint):
        np.testing.assert_allclose(np.sum(np.broadcast_arrays(*ledger[1:]), axis=0), ledger.mixed, rtol=1e-12)
        assert all(np.all(part >= -1e-18) for part in ledger)
    solids = got.account.solids
    np.testing.assert_allclose(solids.landed / solids.mixed, got.aimed * got.captured, rtol=1e-12)
    np.testing.assert_allclose((solids.settling + solids.airborne) / solids.landed, got.mist_per_landed)
    np.testing.assert_allclose((solids.on_masks + solids.past_edge) / solids.landed, got.past_edge_per_landed)
    # The film in the middle, over the panel, is what landed but for the thinner edges.
    on_panel = solids.landed / (1.0 * 0.7) / got.dry_film
    assert np.all((on_panel > 0.85) & (on_panel < 1.0))


def test_a_setting_broadcasts():
    both = setting.spray_setting(**{**PAINT, **LOW._asdict(), "turns": [1.5, 2.5]})
    one = setting.spray_setting(**{**PAINT, **LOW._asdict(), "turns": 2.5})
    assert both.dry_film[1].magnitude == pytest.approx(one.dry_film.magnitude)
    assert both.account.solids.landed[1].magnitude == pytest.approx(one.account.solids.landed.magnitude)
    low, middle, high = band(setting.spray_setting, **PAINT, **LOW._asdict()).dry_film
    assert low < middle < high


def test_band_of_transfer_holds_the_published_one():
    """Source: transfer-trials, 50 to 75 % about 62 %; clear is the paint that the cut was set with."""
    for paint, least in ((CLEAR, 0.50), ({}, 0.62)):  # surfacer is coarser: its band begins higher
        got = sprayed(choose.Setting(), **paint)
        low, middle, high = np.percentile(got.account.transfer_efficiency, [5, 50, 95])
        assert low < least and 0.55 < middle < 0.75 < high + 0.05
    plain = {
        name: float(p.default)
        for name, p in inspect.signature(setting.spray_setting.si).parameters.items()
        if isinstance(p.default, Coefficient)
    }
    assert sprayed(choose.Setting(), **CLEAR, **plain).account.transfer_efficiency == pytest.approx(0.62, abs=0.005)


@pytest.mark.parametrize("pressure", ["20 psi", "25 psi", "29 psi", "35 psi", "40 psi"])
def test_practice_low_air_narrow_fan_part_trigger(pressure):
    """Common practice, no source: less mist and less past the edge per gram landed at equal film, in 90 %."""
    got = choose.compare_settings(LOW, HIGH._replace(gun_inlet_pressure=pressure), **PAINT)
    for side in (got.less_mist, got.less_past_edge, got.less_of_both, got.more_passes, got.coarser):
        assert side.magnitude >= 0.9


@pytest.mark.parametrize(
    ("paint", "between", "let_go"), [(CLEAR, (0.62, 0.70), 0.95), ({}, (0.86, 0.92), 0.77)], ids=["clear", "surfacer"]
)
def test_low_air_loses_less_down_to_half_a_pull_of_the_trigger(paint, between, let_go):
    """Both fans wide open. Less paint for the same air comes out finer: the lead shrinks, and far below half it is
    no longer sure."""
    known, job = choose.sampled(None, choose.DRAWS), read_arguments(setting.spray_setting.si, PAINT) | paint

    def one(of):
        return setting.spray_setting.si(**choose.read_setting(of, "first")._asdict(), **job, **known)

    high = one(HIGH)
    lows = [one(LOW._replace(fan_opening="100 %", trigger=trigger)) for trigger in ("75 %", "60 %", "50 %", "20 %")]
    ratios, shares = [], []
    for low in lows:
        lost, lost_high = (found.mist_per_landed + found.past_edge_per_landed for found in (low, high))
        shares.append(np.mean(lost < lost_high))
        ratios.append(np.median(lost / lost_high))
    assert min(shares[:3]) >= 0.998 and shares[3] == pytest.approx(let_go, abs=0.03)
    assert between[0] < ratios[0] < ratios[1] < ratios[2] < between[1]
    assert np.all(lows[0].median_drop > lows[2].median_drop), "less paint for the same air, finer drops"


def test_opening_the_fluid_as_well_works_the_other_way():
    """More fluid makes coarser drops, so the gain in mist is less sure: shown, not hidden."""
    same = choose.compare_settings(LOW, HIGH, **PAINT)
    opened = choose.compare_settings(LOW, HIGH._replace(turns=3), **PAINT)
    assert opened.less_mist.magnitude < same.less_mist.magnitude
    assert opened.mist.middle > same.mist.middle
    assert opened.less_past_edge.magnitude >= 0.9


def test_more_air_and_more_distance_transfer_less():
    """From memory: 10 to 20 psi at the cap costs 0.05 to 0.15, distance 150 to 300 mm costs 0.05 to 0.20.

    Both are met in the middle of the band; the other memory, 2 to 4 points each 25 mm, lies inside it.
    """
    near, far = (sprayed(HIGH._replace(gun_distance=z)).account.transfer_efficiency for z in ("150 mm", "300 mm"))
    assert np.all(far < near)
    assert 0.05 < np.median(near - far) < 0.20
    near, far = (
        sprayed(choose.Setting(gun_distance=z), **CLEAR).account.transfer_efficiency for z in ("150 mm", "300 mm")
    )
    low, high = np.percentile(near - far, [5, 95]) / 6  # six steps of 25 mm
    assert low < 0.02 < 0.04 < high
    direct = {"passage_ratio": 5.0}
    less = sprayed(HIGH._replace(gun_inlet_pressure="10 psi"), **direct)
    flow = sprayed(HIGH._replace(gun_inlet_pressure="20 psi"), **direct).fluid_delivery / less.fluid_delivery
    scale = sampled(setting.spray_setting, 1000)["delivery_scale"] / flow
    more = sprayed(HIGH._replace(gun_inlet_pressure="20 psi"), **direct, delivery_scale=scale)
    np.testing.assert_allclose(more.fluid_delivery, less.fluid_delivery)
    drop = less.account.transfer_efficiency - more.account.transfer_efficiency
    assert 0.03 < np.median(drop) < 0.15
    assert np.mean(drop > 0) > 0.99


def test_mask_edges_as_practice_has_them():
    """Common practice, no source: a raised edge ramps over 30 films or more, flat tape over 5 or less."""
    drawn = sampled(masking.mask_edge, 4000)
    for film in (25e-6, 40e-6, 60e-6):
        assert np.mean(masking.mask_edge.si("raised", film, **drawn).ramp_ratio >= 30) >= 0.9
        assert np.mean(masking.mask_edge.si("flat", film, **drawn).ramp_ratio <= 5) >= 0.9
    # A build of 100 µm needs a higher lip, or a tape moved out from coat to coat.
    thick = np.mean(masking.mask_edge.si("raised", 100e-6, **drawn).ramp_ratio >= 30)
    higher = np.mean(masking.mask_edge.si("raised", 100e-6, **{**drawn, "lip_height": 10e-3}).ramp_ratio >= 30)
    assert thick < 0.9 < higher


@given(st.sampled_from(["flat", "raised"]), st.floats(1e-6, 2e-4), st.integers(1, 6), st.floats(0, 0.03))
def test_edge_section_is_fine_and_rises(tape, film, coats, back):
    place, height = masking.edge_section.si(tape, film, float(coats), back)
    assert np.diff(place).max() <= 0.1e-3 * (1 + 1e-9)
    assert np.all(np.diff(height) >= -1e-18)
    assert height[0] == pytest.approx(0, abs=coats * film * 1e-3)
    assert height[-1] == pytest.approx(coats * film, rel=1e-3)
    edge = masking.mask_edge.si(tape, film)
    if coats == 1:
        tenth, ninth = np.interp([0.1 * film, 0.9 * film], height, place)
        assert edge.ramp_width == pytest.approx(ninth - tenth, rel=0.02)


def test_texture_is_the_scatter_of_drops_landing_by_chance():
    random = np.random.default_rng(3)
    median, exponent, film, solids, patch = 40e-6, 2.5, 25e-6, 0.45, 1e-3
    patches, mean_drop = 1000, 40e-6  # their spread is then known to some 2 %
    diameters = mean_drop * random.weibull(exponent, 400_000) / np.log(2) ** (1 / exponent)
    weights = diameters**-3  # a spread by volume holds many more small drops
    drops = random.choice(diameters, size=300_000, p=weights / weights.sum())
    dry_volumes = solids * np.pi / 6 * drops**3
    count = film * patch**2 * patches / dry_volumes.mean()
    landing = random.choice(dry_volumes, size=int(count))
    films = np.bincount(random.integers(0, patches, len(landing)), landing, minlength=patches) / patch**2
    assert films.mean() == pytest.approx(film, rel=0.02)
    got = texture.laid_texture.si(film, median, solids, patch, exponent, 1.0)
    assert films.std() == pytest.approx(got, rel=0.06)


def test_levelling_takes_short_texture_first():
    short, long = (
        texture.finished_texture.si(25e-6, 40e-6, 0.45, 0.1, wavelength=w)
        / texture.laid_texture.si(25e-6, 40e-6, 0.45, w)
        for w in (1e-3, 5e-3)
    )
    assert short < long <= 1
    wet = 25e-6 / 0.45
    assert long == pytest.approx(runs.wave_left.si(1e6, 5e-3, wet, 0.1, 0.028, 120.0), rel=0.2)


def test_found_setting_does_what_it_says():
    found = finding.find_setting("40 µm", **PAINT)
    answer = found.answer
    again = setting.spray_setting(**PAINT, **answer.setting._asdict())
    coats = answer.coats.magnitude
    assert again.dry_film.m_as("micrometer") * coats == pytest.approx(40, rel=0.051)
    assert answer.texture.m_as("micrometer") <= 2.5
    assert again.evenness.magnitude <= 0.05
    assert again.wet_film.m_as("micrometer") <= 100
    assert again.wet_film.m_as("micrometer") == pytest.approx(answer.wet_film.m_as("micrometer"), rel=1e-6)
    assert again.time.m_as("second") * coats == pytest.approx(answer.time.m_as("second"))
    missed = again.account.paint.sprayed * coats * (1 - again.account.transfer_efficiency)
    assert missed.m_as("milliliter") == pytest.approx(answer.lost.m_as("milliliter"))
    assert found.stopped_by == ()
    assert "texture_factor" in found.assumed
    for field, (low, high) in finding.read_limits(None).items():
        value = choose.read_setting(answer.setting, "answer")._asdict()[field]
        assert low * (1 - 1e-9) <= value <= high * (1 + 1e-9)


def test_found_setting_says_how_sure_it_is():
    found = finding.find_setting("40 µm", **PAINT)
    low, middle, high = (end.m_as("micrometer") for end in found.film)
    assert low < 40 < high and middle == pytest.approx(40, rel=0.15)
    assert found.on_film.magnitude < 0.4, "before a cup test nobody hits a film within a twentieth"
    assert 0.1 < found.fine_enough.magnitude < 1
    worse = [row for row in found.trade_off if row.lost > found.answer.lost * 1.3]
    assert worse and all(row.beaten.magnitude > 0.9 for row in worse)
    same = [row for row in found.trade_off if row.setting == found.answer.setting]
    assert all(row.beaten.magnitude == 0 for row in same)
    delivery = {
        "delivery_scale": 1.0,
        "suction_share": "10 %",
        "nozzle_viscosity": "60 %",
        "thread_pitch": "1 mm",
        "needle_half_angle": "10 °",
        "passage_ratio": 0.561,
    }
    known = finding.find_setting("40 µm", **PAINT, measured=delivery)
    assert known.film.high / known.film.low < 0.7 * (high / low)
    assert known.on_film > found.on_film


def test_limits_that_feed_too_little_are_left_out_or_refused_in_words():
    assert finding.find_setting("40 µm", **PAINT, limits={"turns": (0.25, 3)}).answer
    with refused("no solution", "limits"):
        finding.find_setting("40 µm", **PAINT, limits={"turns": (0.1, 0.2)})
    with refused("range", "pitch") as refusal:
        finding.find_setting("40 µm", **{**PAINT, "panel_height": "10 m"}, limits={"overlap": ("50 %", "95 %")})
    assert refusal.value.argument == "limits.pitch" and "Narrow the limits" in refusal.value.remedy


def test_finer_texture_costs_paint():
    lost = [
        finding.find_setting("40 µm", **PAINT, worst_texture=limit).answer.lost.magnitude
        for limit in ("0.9 µm", "1.3 µm", "2 µm", "5 µm")
    ]
    assert all(more >= less * 0.989 for more, less in itertools.pairwise(lost))
    assert lost[0] > 1.3 * lost[-1]
    table = finding.find_setting("40 µm", **PAINT).trade_off
    assert len({option.setting for option in table}) == len(table) > 3


def test_it_says_which_limit_stops_it():
    def stopped(**limits):
        found = finding.find_setting(**{"dry_film": "40 µm", **PAINT, **limits})
        assert found.answer is None
        assert found.words
        return found.stopped_by

    assert stopped(worst_texture="0.1 µm") == ("worst_texture",)
    assert stopped(limits={"overlap": ("10 %", "15 %")}) == ("worst_evenness",)
    assert stopped(most_coats=1, dry_film="80 µm", limits={"turns": (0.5, 0.75)}, most_wet_film="500 µm") == (
        "too little film",
    )
    assert "most_wet_film" in stopped(most_wet_film="5 µm")
    assert stopped(dry_film="2 µm") == ("too much film",)


@pytest.mark.parametrize(
    "bad",
    [
        {"limits": {"turns": (3, 1)}},
        {"limits": {"turns": 3}},
        {"limits": {"knob": (1, 2)}},
        {"limits": 7},
        {"limits": {"overlap": ("50 mm", "60 mm")}},
        {"measured": {"nothing": 1}},
        {"measured": 3},
        {"dry_film": ["20 µm", "40 µm"]},
        {"dry_film": "0 µm"},
        {"profile": "beta"},
        {"limits": {None: (1, 2)}},
        {"limits": {"gun_speed": (None, None)}},
    ],
)
def test_find_setting_refuses(bad):
    with pytest.raises(InputError):
        finding.find_setting(**{"dry_film": "40 µm", **PAINT, **bad})


def test_measured_coefficients_narrow_the_bands():
    mine = {"delivery_scale": 1.0, "suction_share": "10 %", "open_fan": "250 mm"}
    guessed, known = (choose.compare_settings(LOW, HIGH, **PAINT, measured=m) for m in (None, mine))
    assert known.mist.high - known.mist.low < guessed.mist.high - guessed.mist.low


def test_strip_and_edge_agree_with_the_passes():
    lone = transfer.strip_share.si(0.1, 0.25)
    edges = transfer.edge_share.si(0.05, 0.25)
    assert lone == pytest.approx(2 * edges - 1)
    wide = stroke.aimed_share.si(100.0, 0.7, 0.1, 0.25, 0.07, 0.0)
    by_edges = np.mean(
        [transfer.edge_share.si(k * 0.1, 0.25) + transfer.edge_share.si(0.7 - k * 0.1, 0.25) - 1 for k in range(8)]
    )
    assert wide == pytest.approx(by_edges, rel=1e-3)


@pytest.mark.parametrize("panel", [("20 mm", "20 mm"), ("60 mm", "150 mm"), ("0.5 m", "0.2 m"), ("1 m", "0.7 m")])
@pytest.mark.parametrize("fan", [0.0, 1.0])
def test_film_in_the_middle_is_that_of_its_passes_however_small_the_panel(panel, fan):
    wide, high = panel
    found = spraying.spray_setting(
        2, "2 bar", fan, "175 mm", "0.45 m/s", "50 %", 1, "1.4 mm", "55 mm²/s", "1.3 kg/L", "40 %", wide, high
    )
    depth = spraying.fan_depth("175 mm")
    lead, length, height = spraying.least_lead(depth), UREG.Quantity(wide), UREG.Quantity(high)
    rate = spraying.solids_rate(found.fluid_delivery, "40 %", found.captured)
    passes = int(found.passes.m)
    film = sum(
        spraying.stroke_film(
            length / 2, height / 2 - number * found.pitch, -lead, length + lead, "0.45 m/s", rate, found.width, depth
        )
        .to("µm")
        .m
        for number in range(passes)
    )
    assert found.dry_film.to("µm").m == pytest.approx(film, rel=0.04)
    mean = (found.account.solids.landed / (length * height)).to("µm").m  # the account knows the mean of the panel
    assert mean == pytest.approx(film, rel=0.1)


def test_too_little_air_or_pull_is_told_of_what_was_given():
    given_ = ["100 %", "175 mm", "0.45 m/s", "50 %"]
    paint = ["1.4 mm", "55 mm²/s", "1.3 kg/L", "40 %", "1 m", "0.7 m"]
    with pytest.raises(RangeError, match="gun_inlet_pressure: 0 bar is below"):
        spraying.spray_setting(2, "0 bar", *given_, 1, *paint)
    with pytest.raises(RangeError, match=r"trigger: 10 % is below the range where this holds, 12.5 to 100 %"):
        spraying.spray_setting(2, "2 bar", *given_, "10 %", *paint)
    with refused("range", "gun_inlet_pressure"):
        limits = {"gun_inlet_pressure": ("0 bar", "1 bar")}
        spraying.find_setting(
            "50 µm",
            "1 m",
            "0.7 m",
            limits,
            volume_solids="40 %",
            density="1.3 kg/L",
            kinematic_viscosity="55 mm²/s",
            tip_bore="1.4 mm",
        )


def test_gauges_that_read_alike_are_refused():
    with refused("impossible", "cap_pressure"):
        spraying.passages_from_reading("2 bar", "1.9999999 bar")
    with refused("impossible", "cap_pressure"):
        spraying.passages_from_reading("2 bar", "0.001 bar")


def test_warm_air_and_a_fast_solvent_make_dry_spray():
    """The same setting at 5, 20 and 35 °C: each 15 °C more than doubles what lands dry; the film stays."""
    days = (("5 °C", 1), ("20 °C", 1), ("35 °C", 1), ("35 °C", 1 / 2.368))
    cold, room, warm, slow = (
        setting.spray_setting(**PAINT, **LOW._asdict(), air_temperature=air, volatility=speed) for air, speed in days
    )
    assert cold.dry_spray < room.dry_spray / 2 < warm.dry_spray / 4
    assert cold.wet_film > room.wet_film > warm.wet_film and warm.dry_film == room.dry_film
    assert slow.dry_spray.m == pytest.approx(room.dry_spray.m, rel=1e-3)  # slow reducer for a warm day
    usual = setting.spray_setting(**PAINT, **LOW._asdict())
    assert usual.dry_spray == room.dry_spray


def test_flight_and_dry_spray_by_hand():
    """A plume slowed by distance takes half the time of its last speed; what lost 70 % of its solvent lands dry."""
    at = read_arguments(setting.spray_setting.si, {**PAINT, **LOW._asdict(), "air_temperature": "35 °C"})
    found = setting.spray_setting.si(**at)
    flight = 0.175 / (2 * found.plume_speed)
    cut = transfer.spray_cut.si(0.175, 1300.0)
    caught = transfer.capture.si(found.median_drop, cut, 0.42)
    loss = np.minimum(1, (1 - np.maximum(0, 1 - 8.288e-9 * flight / caught.class_size**2) ** 1.5) / 0.58)
    landed = np.sum(loss * caught.class_landed) / caught.share
    assert found.wet_film / found.dry_film == pytest.approx(1 + 0.58 / 0.42 * (1 - landed), rel=1e-4)
    driest = (8.288e-9 * flight / (1 - (1 - 0.7 * 0.58) ** (2 / 3))) ** 0.5
    usual = [
        float(coefficient(key)) for key in ("spread_exponent", "cut_sharpness", "turbulent_floor", "capture_ceiling")
    ]
    assert found.dry_spray == pytest.approx(transfer.landed_below(driest, found.median_drop, cut, *usual), rel=2e-3)


WATER_JET = {
    "correlation": "Kim and Marshall",
    "viscosity": 0.02,
    "density": 1000.0,
    "surface_tension": 0.03,
    "fluid_delivery": 2e-6,
    "jet_density": 1.3,
    "air_flow": 3e-3,
    "tip_bore": 1.4e-3,
    "cap_area": 14e-6,
    "outside": "show",
}
WAVE = {"viscosity": 0.1, "surface_tension": 0.03}


@pytest.mark.parametrize(
    ("call", "rest", "argument", "low", "high"),
    [
        (runs.critical_wet_film, {"yield_stress": 1.0, "density": 1300.0}, "slope", math.pi / 180, math.pi / 2),
        (runs.levelling_time, {**WAVE, "wavelength": 0.05}, "wet_film", 1e-6, 5e-3),
        (runs.levelling_time, {**WAVE, "wet_film": 2e-6}, "wavelength", 50e-6, 0.1),
        (runs.held_wave, {"wet_film": 2e-6, "yield_stress": 1.0, "surface_tension": 0.03}, "wavelength", 50e-6, 0.1),
        (runs.drying_constant, {"volatility": 1.0}, "air_temperature", 273.15, 323.15),
        (runs.driest_drop, {"flight_time": 0.02}, "volume_solids", 0.01, 0.99),
        (runs.drop_loss, {"diameter": 30e-6, "flight_time": 0.02}, "volume_solids", 0.01, 0.99),
        (transfer.cut_diameter, {"plume_width": 0.07}, "plume_speed", 0.5, 100.0),
        (drops.drop_mean, WATER_JET, "jet_speed", 1.0, 400.0),
        (drops.drop_size, {"fluid_delivery": 2e-6, "kinematic_viscosity": 30e-6}, "cap_pressure", 3.5e3, 3.5e5),
    ],
)
def test_a_formula_ends_where_it_says(call, rest, argument, low, high):
    for end, beyond in ((low, 0.99 * low), (high, 1.01 * high)):
        assert call.si(**rest, **{argument: end}) is not None
        with pytest.raises(RangeError) as refusal:
            call.si(**rest, **{argument: beyond})
        assert refusal.value.argument == argument


def test_a_wave_shorter_than_the_film_allows_is_told_both_ends():
    with pytest.raises(RangeError) as refusal:  # 2π × 100 µm
        runs.levelling_time.si(wavelength=0.6e-3, wet_film=1e-4, **WAVE)
    assert (refusal.value.figures["low"], refusal.value.figures["high"]) == pytest.approx((0.62832e-3, 0.1), rel=1e-4)


def test_a_drop_that_has_dried_up_has_lost_all_its_solvent_and_no_more():
    """One of a hundredth solids too: (1 − 0) ÷ 0.99 is over one."""
    assert runs.drop_loss.si(1e-6, 1.0, 0.01) == 1.0
