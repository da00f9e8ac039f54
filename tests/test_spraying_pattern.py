"""The fan, the stroke and the wet film against quadrature, a general library and their own symmetries."""

import math

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy import integrate, special

from coursekit import special as ours
from coursekit.belief import band
from coursekit.quantities import InputError
from coursekit.spraying import pattern, runs, stroke
from tests.calls import refused

settings.register_profile("plain", deadline=None)
settings.load_profile("plain")
PROFILES = [("gaussian", None), ("parabola", None), ("triangle", None), ("beta", 1.0), ("beta", 1.5), ("beta", 4.2)]


def test_error_function_matches_a_general_library():
    x = np.concatenate([np.linspace(-8, 8, 50_001), [0, 1e-12, -1e-12, 40, -40]])
    np.testing.assert_allclose(ours.erf(x), special.erf(x), rtol=0, atol=1e-14)
    np.testing.assert_allclose(ours.normal_share(x), special.ndtr(x), rtol=0, atol=1e-14)
    assert isinstance(ours.erf(0.5), float)


@pytest.mark.parametrize(("profile", "shape"), PROFILES)
@pytest.mark.parametrize("overlap", [-0.7, 0, 0.13, 1 / 3, 0.5, 0.77, 0.9])
def test_evenness_matches_a_brute_sum(profile, shape, overlap):
    pitch, width = 0.25 * (1 - overlap), 0.25
    places = (np.arange(200_000) + 0.5) / 200_000 * pitch
    film = (
        sum(pattern.density(profile, (places - k * pitch) / width, shape or 2.0) for k in range(-30, 31))
        * pitch
        / width
    )
    got = pattern.stripes.si(profile, pitch, width, shape)
    assert film.mean() == pytest.approx(1, abs=2e-4)
    assert got.evenness == pytest.approx(film.std(), abs=1e-4)
    assert got.least == pytest.approx(film.min(), abs=5e-3)
    assert got.most == pytest.approx(film.max(), abs=5e-3)


@pytest.mark.parametrize(("profile", "shape"), PROFILES)
def test_profiles_hold_all_their_paint(profile, shape):
    content, _ = integrate.quad(lambda y: pattern.density(profile, y, shape or 2.0), -3, 3, points=[-0.5, 0, 0.5])
    assert content == pytest.approx(1, abs=1e-6)


@pytest.mark.parametrize(("profile", "shape"), [*PROFILES, ("beta", 20.0)])
def test_share_of_a_fan_is_the_integral_of_its_profile(profile, shape):
    across = np.linspace(-0.2, 0.2, 81)
    share = pattern.fan_share.si(profile, across, 0.25, 0.2, 0.0, shape)
    if profile in ("parabola", "beta"):
        beta = shape or 2.0
        expected = special.betainc(beta, beta, np.clip(0.5 + across / 0.25, 0, 1))
    else:
        expected = [
            integrate.quad(
                lambda u: pattern.density(profile, u, 2.0), -3, y / 0.25, points=[-0.5, 0, 0.5], limit=200
            )[0]
            for y in across
        ]
    np.testing.assert_allclose(share, expected, atol=1e-7)


@pytest.mark.parametrize(("profile", "shape"), PROFILES)
def test_leaning_gun_lays_the_ratio_of_tilt_ratio_and_loses_nothing(profile, shape):
    width, distance, tilt = 0.2, 0.18, math.radians(15)
    half = math.atan(width * 0.4 / distance)  # two rays alike on both sides of the axis, well inside the fan

    def film(ray):
        place = distance * (math.cos(tilt) * math.tan(tilt + ray) - math.sin(tilt))
        ends = pattern.fan_share.si(profile, np.array([place - 1e-6, place + 1e-6]), width, distance, tilt, shape)
        return ends[1] - ends[0]

    assert film(-half) / film(half) == pytest.approx(pattern.tilt_ratio.si(tilt, half).stroke, rel=1e-3)
    far = pattern.fan_share.si(profile, np.array([-50.0, 50.0]), width, distance, tilt, shape)
    np.testing.assert_allclose(far, [0, 1], atol=1e-9)
    steps = np.diff(pattern.fan_share.si(profile, np.linspace(-1, 1, 400), width, distance, tilt, shape))
    assert (steps >= -1e-12).all()


@example(("beta", 1.0), 0.04, 1.0, 1.0)  # the fan ends midway between two passes
@given(st.sampled_from(PROFILES), st.floats(0.02, 3), st.floats(0.02, 1), st.floats(0.1, 10))
def test_evenness_is_a_matter_of_proportion(which, ratio, width, scale):
    profile, shape = which
    one = pattern.evenness.si(profile, ratio * width, width, shape)
    assert one == pytest.approx(pattern.evenness.si(profile, ratio * width * scale, width * scale, shape), abs=1e-7)
    assert 0 <= one < math.inf


def test_evenness_broadcasts():
    widths = np.linspace(0.1, 0.3, 5)
    shapes = np.linspace(1, 5, 3)[:, None]
    grid = pattern.evenness.si("beta", 0.1, widths, shapes)
    assert grid.shape == (3, 5)
    for i, j in np.ndindex(3, 5):
        assert grid[i, j] == pytest.approx(pattern.evenness.si("beta", 0.1, widths[j], float(shapes[i, 0])), abs=1e-9)
    best = pattern.best_overlap.si("beta", np.array([2.0, 3.0]))
    assert best.overlap[1] == pytest.approx(pattern.best_overlap.si("beta", 3.0).overlap, abs=1e-4)


def test_shape_argument_belongs_to_one_profile():
    for bad in ({"profile": "beta"}, {"profile": "parabola", "shape": 2}, {"profile": "square"}, {"profile": None}):
        with pytest.raises(InputError):
            pattern.evenness(pitch="100 mm", width="250 mm", **bad)
    with refused("range", "pitch"):
        pattern.evenness("parabola", "1 mm", "250 mm")


@given(st.floats(1, 19))
def test_a_card_gives_its_shape_back(shape):
    middle = 20e-6
    quarter = middle * pattern.density("beta", 0.25, shape) / pattern.density("beta", 0.0, shape)
    assert pattern.fan_shape.si(middle, quarter) == pytest.approx(shape, rel=1e-9)


@given(st.floats(0, math.radians(30)), st.floats(0, math.radians(45)))
def test_tilt_favours_the_near_end(tilt, half):
    ratio = pattern.tilt_ratio.si(tilt, half)
    assert ratio.spot >= ratio.stroke >= 1 - 1e-12
    assert ratio.spot == pytest.approx(ratio.stroke**1.5)


@settings(max_examples=20)
@given(
    st.floats(0.2, 1.5),
    st.floats(0.2, 1.2),
    st.floats(0.05, 0.3),
    st.floats(0.1, 0.35),
    st.floats(0.04, 0.1),
    st.floats(0, 0.2),
)
def test_aimed_share_is_what_the_strokes_lay_on_the_panel(panel_width, panel_height, pitch, width, depth, lead):
    x = np.linspace(0, panel_width, 1201)
    y = np.linspace(0, panel_height, 1201)
    plan = stroke.coat_plan.si(panel_width, panel_height, pitch, 0.45, lead)
    passes = int(plan.passes)
    assert plan.step * (passes - 1) == pytest.approx(panel_height)
    assert plan.step <= pitch * (1 + 1e-9)
    assert passes == 2 or panel_height / (passes - 2) > pitch
    first = (panel_height - (passes - 1) * pitch) / 2  # the step is kept, the set is in the middle
    across = sum(np.exp(-8 * ((y - first - k * pitch) / width) ** 2) for k in range(passes))
    along = stroke.stroke_film.si(x, 0.0, -lead, panel_width + lead, 0.45, 1.0, width, depth)
    landed = np.trapezoid(along, x) * np.trapezoid(across, y)
    aimed = stroke.aimed_share.si(panel_width, panel_height, pitch, width, depth, lead)
    assert aimed == pytest.approx(landed / (passes * plan.seconds_per_pass), rel=2e-4)


def test_stroke_keeps_all_its_paint_and_turns_round():
    x, y = np.linspace(-0.5, 1.5, 2001), np.linspace(-0.6, 0.6, 601)[:, None]
    film = stroke.stroke_film.si(x, y, 0.0, 1.0, 0.45, 1e-6, 0.25, 0.072)
    assert np.trapezoid(np.trapezoid(film, x, axis=1), y[:, 0]) == pytest.approx(1e-6 / 0.45, rel=1e-5)
    np.testing.assert_allclose(film, stroke.stroke_film.si(x, y, 1.0, 0.0, 0.45, 1e-6, 0.25, 0.072))
    many = sum(stroke.stroke_film.si(0.5, k * 0.125, 0.0, 1.0, 0.45, 1e-6, 0.25, 0.072) for k in range(-20, 21))
    even = stroke.coat_film.si(1e-6, 1.0, 1.0, 0.45, 0.125)
    assert many == pytest.approx(even, rel=0.02)  # stripes at half overlap are ±1.4 %


@given(st.floats(1e-6, 5e-4), st.floats(0.05, 1), st.floats(0.1, 1), st.floats(0.01, 0.3))
def test_speed_and_film_there_and_back(film, solids, efficiency, pitch):
    speed = stroke.speed_for_film.si(film, 2.5e-6, solids, efficiency, pitch)
    assert stroke.coat_film.si(2.5e-6, solids, efficiency, speed, pitch) == pytest.approx(film)


def test_sag_is_the_integral_of_its_velocity():
    film, viscosity, density = 80e-6, 0.2, 1300.0
    speed, _ = integrate.quad(lambda y: density * runs.GRAVITY / viscosity * (film - y), 0, film)
    assert runs.sag_speed.si(film, viscosity, density) == pytest.approx(speed)
    distance, _ = integrate.quad(lambda t: speed * 10 ** (-t / 90), 0, 90 * 12)
    assert runs.sag_distance.si(film, viscosity, density, 90.0) == pytest.approx(distance, rel=1e-6)


@given(st.floats(1e-6, 5e-3), st.floats(1e-3, 10))
def test_twice_the_film_four_times_the_sag(film, viscosity):
    one = runs.sag_speed.si(film / 2, viscosity, 1200.0)
    assert runs.sag_speed.si(film, viscosity, 1200.0) == pytest.approx(4 * one)


def test_levelling_by_stepping_the_film_equation():
    """A small wave in ∂h/∂t = −(σ/3μ) ∂x(h³ ∂xxx h), stepped on a periodic grid."""
    length, film, viscosity, tension, cells = 3e-3, 50e-6, 0.1, 0.03, 32
    x = np.arange(cells) * length / cells
    dx = length / cells
    height = film + 1e-8 * np.cos(2 * np.pi * x / length)
    time = runs.levelling_time.si(length, film, viscosity, tension)
    steps = 8_000
    for _ in range(steps):
        third = (np.roll(height, -2) - 3 * np.roll(height, -1) + 3 * height - np.roll(height, 1)) / dx**3
        middle = (height + np.roll(height, -1)) / 2
        flux = tension / (3 * viscosity) * middle**3 * third
        height = height - time / steps * (flux - np.roll(flux, 1)) / dx
    assert np.ptp(height) / 2e-8 == pytest.approx(math.exp(-1), rel=0.01)


def test_thickening_keeps_a_share_of_the_wave():
    args = (3e-3, 40e-6, 0.1, 0.03, 60.0)
    time = runs.levelling_time.si(*args[:4])
    fluid, _ = integrate.quad(lambda t: 10 ** (-t / 60), 0, 120)
    assert runs.wave_left.si(120.0, *args) == pytest.approx(math.exp(-fluid / time), rel=1e-6)
    assert runs.wave_left.si(0.0, *args) == 1
    assert runs.wave_left.si(1e6, *args) == pytest.approx(math.exp(-60 / math.log(10) / time), rel=1e-6)


def test_levelling_refuses_a_thick_film_and_nothing():
    with refused("range", "wavelength"):
        runs.levelling_time("0.3 mm", "60 µm", "0.1 Pa·s", "30 mN/m")
    with refused("range", "wet_film"):
        runs.levelling_time("3 mm", "0 µm", "0.1 Pa·s", "30 mN/m")
    with refused("range", "slope"):
        runs.critical_wet_film("1 Pa", "1 kg/L", "0 °")


@given(st.floats(1e-6, 2e-4), st.floats(1e-3, 0.1), st.floats(0.05, 0.95))
def test_drops_dry_from_the_small_end(diameter, flight, solids):
    loss = runs.drop_loss.si(diameter, flight, solids, 3.5e-9)
    assert 0 <= loss <= 1
    driest = runs.driest_drop.si(flight, solids, 0.7, 3.5e-9)
    assert (loss >= 0.7 - 1e-9) == (diameter <= driest * (1 + 1e-9))
    low, _, high = band(runs.driest_drop, "10 ms", "45 %")
    assert low < high


def test_a_drop_dries_by_the_air_and_the_solvent():
    """By hand: vapour of n-butyl acetate 10^(2156.81·(1/293.15 − 1/308.15)) = 2.281, diffusivity over T 1.038."""
    warm = runs.drying_constant.si(308.15, 1.0, 3.5e-9)
    assert warm / 3.5e-9 == pytest.approx(2.368, rel=1e-3)
    assert runs.drying_constant.si(278.15, 1.0, 3.5e-9) / 3.5e-9 == pytest.approx(0.3856, rel=1e-3)
    assert runs.drying_constant.si(293.15, 0.4, 3.5e-9) == pytest.approx(1.4e-9, rel=1e-12)
    assert runs.drop_loss.si(30e-6, 0.01, 0.45, 3.5e-9, 308.15, 0.5) == runs.drop_loss.si(30e-6, 0.01, 0.45, warm / 2)
    assert runs.driest_drop.si(0.01, 0.45, 0.7, 3.5e-9, 308.15, 2.0) == runs.driest_drop.si(0.01, 0.45, 0.7, 2 * warm)
    with refused("range", "air_temperature"):
        runs.drying_constant("55 °C", 1)


def test_a_coat_over_a_wet_one_by_hand():
    """50 µm over 40 µm of 45 % solids: 18 µm of these stay, and of 22 µm of solvent a quarter, half or nothing."""
    left = [0.25, 0.5, 0.0, 1.0]
    hangs = runs.stacked_film("50 µm", "40 µm", "45 %", left).m_as("µm")
    assert hangs.tolist() == pytest.approx([73.5, 79.0, 68.0, 90.0])


def test_the_driest_drop_and_its_loss_by_hand():
    """8 ms, 45 % solids: √(3.5e-9·0.008 / (1 − 0.615^⅔)) = 10.06 µm; 25 µm lose (1 − 0.9552^1.5) / 0.55."""
    assert runs.driest_drop("8 ms", "45 %").m == pytest.approx(10.06, abs=0.01)
    assert runs.drop_loss("25 µm", "8 ms", "45 %").m_as("percent") == pytest.approx(12.08, abs=0.02)
