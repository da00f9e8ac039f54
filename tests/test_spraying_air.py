"""The gun's fluid and air, the air supply, drops and mist: properties, and general libraries as a reference."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursekit import InputError, RangeError, spraying
from coursekit.nomenclature import names
from coursekit.sources import band, band_inside, coefficient


def floats(low, high):
    return st.floats(low, high, allow_nan=False)


# --- the door ----------------------------------------------------------------------------------------------


def test_lists_of_unequal_length_are_refused_in_words():
    with pytest.raises(InputError, match="diameter, density: lists of unequal length"):
        spraying.settling_speed(["1 µm", "2 µm"], ["1 kg/L", "2 kg/L", "3 kg/L"])


def test_a_band_may_end_in_infinity():
    got = band_inside(lambda a: np.where(a > 1, np.inf, a), coefficient("cup_reading"))
    assert got.low < 1 and got.high == np.inf


# --- flow cups ---------------------------------------------------------------------------------------------


def test_the_menu_of_cups_is_the_table():
    assert names()["cup"].options == tuple(spraying.cups())


@given(st.sampled_from(sorted(spraying.cups())), floats(0, 1))
def test_cup_there_and_back(cup, share):
    known = spraying.cups()[cup]
    time = known.start + share * (known.end - known.start)
    viscosity = spraying.viscosity_from_cup.si(cup, time)
    assert 0 < viscosity < 2e-3
    assert spraying.cup_time.si(cup, viscosity) == pytest.approx(time, rel=1e-9)


@pytest.mark.parametrize("text", ["DIN 4", "din4", " DIN-4 ", "DIN 53211", "DIN 53211 4 mm", "DIN cup No. 4"])
def test_spellings_of_one_cup(text):
    assert spraying.viscosity_from_cup(text, "20 s").m == pytest.approx(68.8)


@pytest.mark.parametrize("cup", [None, 4, "4", "", " ", "Zahn", "Zahn 9", "cup", "x" * 1000, ["DIN 4"], object(),
                                 math.nan, "DIN 4; rm", "#", "2" * 40])  # fmt: skip
def test_bad_cups_are_refused(cup):
    with pytest.raises(InputError, match="^cup: "):
        spraying.viscosity_from_cup(cup, "30 s")


def test_outside_a_cup_the_message_names_one_that_would_do():
    with pytest.raises(RangeError, match="too thin for Zahn 2: take Zahn 1") as refusal:
        spraying.viscosity_from_cup("Zahn 2", "15 s")
    other = str(refusal.value).split("take ")[1].split(",")[0]
    thinnest = spraying.cups()["Zahn 2"].viscosity(20.0)
    assert spraying.cups()[other].viscosity(spraying.cups()[other].start) < thinnest
    with pytest.raises(RangeError, match="too thick for DIN 4: take"):
        spraying.viscosity_from_cup("DIN 4", ["20 s", "200 s"])


def test_short_times_are_doubtful():
    short, long = band(spraying.viscosity_from_cup, "DIN 4", "18 s"), band(spraying.viscosity_from_cup, "DIN 4", "60 s")
    assert (short.high / short.middle).m == pytest.approx(1.2, abs=0.01)
    assert (long.high / long.middle).m == pytest.approx(1.2**0.5, abs=0.01)


# --- air ---------------------------------------------------------------------------------------------------


@given(floats(1e3, 8e4), floats(263, 323))
def test_jet_against_general_library(gauge, temperature):
    from fluids.compressible import isentropic_T_rise_compression, stagnation_energy

    jet = spraying.cap_jet.si(gauge, temperature)
    behind = isentropic_T_rise_compression(T1=temperature, P1=gauge + 101325.0, P2=101325.0, k=1.4)
    assert stagnation_energy(jet.speed) == pytest.approx(1.4 / 0.4 * 287.05 * (temperature - behind), rel=1e-6)
    assert jet.density == pytest.approx(101325 / (287.05 * behind), rel=1e-6)


def test_choking_against_general_library():
    from fluids.compressible import P_critical_flow

    gauge = 101325 * (101325 / P_critical_flow(101325, 1.4)) - 101325
    assert gauge == pytest.approx(90.5e3, rel=1e-3)
    jets = spraying.cap_jet.si(np.array([0.999, 1.001]) * gauge, 293.15)
    assert list(jets.choked) == [False, True]


def test_free_air_against_real_gas():
    from CoolProp.CoolProp import PropsSI

    for gauge in (2e4, 2e5, 8e5):
        real = PropsSI("D", "T", 293.15, "P", gauge + 101325, "Air")
        assert (gauge + 101325) / (287.05 * 293.15) == pytest.approx(real, rel=4e-3)


@given(floats(0, 9e5), floats(1.001, 1.1))
def test_more_pressure_never_gives_less_air(gauge, more):
    less_jet, more_jet = spraying.cap_jet.si(gauge, 293.15), spraying.cap_jet.si(min(gauge * more, 1e6), 293.15)
    assert more_jet.air_use >= less_jet.air_use and more_jet.speed >= less_jet.speed
    assert more_jet.mach <= 1


# --- hose and receiver -------------------------------------------------------------------------------------


@pytest.mark.parametrize(("scfm", "inches"), [(8, 0.25), (10, 0.3125), (15, 0.375), (15, 0.5)])
def test_hose_against_general_library(scfm, inches):
    from fluids import Reynolds, friction_factor

    flow, bore, length, before = scfm * 0.3048**3 / 60, inches * 0.0254, 7.62, 40 * 6894.757 + 101325
    flux = flow * 1.20411 / (math.pi / 4 * bore**2)
    friction = friction_factor(Re=Reynolds(V=flux, D=bore, rho=1.0, mu=1.81e-5), eD=1e-5 / bore)
    expected = before - math.sqrt(before**2 - friction * length / bore * flux**2 * 287.05 * 293.15)
    got = spraying.hose_loss.si(flow, length, bore, 40 * 6894.757).smooth
    assert got == pytest.approx(expected, rel=0.03)


def test_what_the_hose_law_leaves_out():
    """A library's isothermal flow counts the air's own speeding-up: a few per cent more loss, no more."""
    from fluids.compressible import isothermal_gas

    flow, bore, inlet = 10 * 0.3048**3 / 60, 0.3125 * 0.0254, 40 * 6894.757
    loss = spraying.hose_loss.si(flow, 7.62, bore, inlet)
    flux = flow * 1.20411 / (math.pi / 4 * bore**2)
    from fluids import friction_factor

    full = isothermal_gas(rho=(inlet + 101325) / (287.05 * 293.15), fd=friction_factor(Re=flux * bore / 1.81e-5,
                          eD=1e-5 / bore), P1=inlet + 101325, L=7.62, D=bore, m=flow * 1.20411)  # fmt: skip
    assert loss.smooth < inlet + 101325 - full < loss.high
    assert inlet + 101325 - full == pytest.approx(loss.smooth, rel=0.04)


@given(floats(1e-6, 0.02), floats(0, 50), floats(4e-3, 0.05), floats(0, 1.5e6))
def test_hose_gives_a_bracket_or_refuses(flow, length, bore, inlet):
    try:
        loss = spraying.hose_loss.si(flow, length, bore, inlet)
    except InputError as error:
        assert error.argument == "flow"
        return
    assert 0 <= loss.smooth <= loss.high * (1 + 1e-9) + 1e-9
    assert loss.high <= inlet * (1 + 1e-9) + 1e-9


@given(floats(1e-3, 0.5), floats(3e5, 9e5), floats(0, 2.9e5), floats(1e-4, 8e-3), floats(0, 8e-3))
def test_receiver_balance(volume, before, after, use, delivery):
    time = spraying.trigger_time.si(volume, before, after, use, delivery)
    if delivery >= use:
        assert time == np.inf
    else:
        taken, made, stored = use * time, delivery * time, volume * (before - after) / 101325
        assert taken - made == pytest.approx(stored, rel=1e-9)


def test_a_receiver_does_not_rise_while_it_feeds():
    with pytest.raises(InputError, match="to_pressure"):
        spraying.trigger_time("50 L", "4 bar", "6 bar", "200 L/min", "100 L/min")


# --- settling ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("micrometres", [5, 10, 20, 50, 100, 200])
def test_settling_against_general_library(micrometres):
    from fluids.drag import v_terminal

    from coursekit.spraying.settling import slip

    expected = v_terminal(D=micrometres * 1e-6, rhop=1000.0, rho=1.2041, mu=1.81e-5)
    without_slip = spraying.settling_speed.si(micrometres * 1e-6) / slip(micrometres * 1e-6)  # as the library has none
    assert without_slip == pytest.approx(expected, rel=0.03 if micrometres <= 100 else 0.05)  # fits of drag differ


@given(floats(1e-7, 1e-3), floats(500, 4000))
def test_settling_balances_weight_and_drag(diameter, density):
    from coursekit.spraying.settling import slip

    speed = spraying.settling_speed.si(diameter, density)
    reynolds = 1.20411 * speed * diameter / 1.81e-5
    drag = 3 * math.pi * 1.81e-5 * diameter * speed * (1 + 0.15 * reynolds**0.687) / slip(diameter)
    weight = math.pi / 6 * diameter**3 * (density - 1.20411) * 9.80665
    assert drag == pytest.approx(weight, rel=1e-4)
    assert reynolds < 1000


def test_settling_broadcasts():
    got = spraying.settling_speed.si(np.array([[1e-6], [1e-5]]), np.array([1000.0, 1200.0, 2000.0]))
    assert got.shape == (2, 3) and np.all(np.diff(got, axis=1) > 0)
