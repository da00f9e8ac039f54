"""Sanding: properties that must hold whatever is given, and the same answers from general-purpose libraries."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq, curve_fit
from scipy.special import spherical_jn

from coursekit import belief, sanding
from coursekit.belief import band
from coursekit.nomenclature import load_data
from coursekit.quantities import InputError, RangeError
from coursekit.sanding import wear
from coursekit.sources import coefficient
from tests.calls import refused

SCALES = {"P": (12, 2500), "CAMI": (16, 1000), "JIS": (240, 8000), "F": (80, 1200)}
papers = st.sampled_from(sorted(SCALES)).flatmap(
    lambda scale: st.tuples(st.just(scale), st.integers(*SCALES[scale]), st.integers(*SCALES[scale]))
)
grades = st.sampled_from(
    ["P40", "P80", "P180", "P320", "P600", "P1500", "P2500", "CAMI 320", "CAMI 600", "#400", "F320"]
)
settings.register_profile("plain", deadline=None)
settings.load_profile("plain")
pressures = st.floats(100, 1e5)
hardnesses = st.floats(20e6, 3e9)
lengths = st.floats(0.01, 1.5)
waves = st.floats(5e-5, 10)


def quantity(value, unit):
    return f"{value:.12g} {unit}"


# --- paper ---------------------------------------------------------------------------------------------------


@given(papers)
def test_a_higher_number_is_a_finer_paper_of_the_same_scale(paper):
    scale, one, other = paper
    coarse, fine = (sanding.read_grade(f"{scale} {n}") for n in sorted((one, other)))
    assert (coarse.grain_size > fine.grain_size) == (one != other)
    assert 1.2 < fine.outlier_ratio < 3.2


@given(st.integers(221, 9999))
def test_a_bare_number_above_220_is_refused_and_told_what_it_could_mean(number):
    with refused("form", "grade") as refusal:
        sanding.grain_size(str(number))
    for scale, (first, last) in SCALES.items():
        assert (f" {scale}{number} " in str(refusal.value) or f" {scale} {number} " in str(refusal.value)) == (
            first <= number <= last
        )


@given(st.integers(12, 220))
def test_a_bare_number_up_to_220_is_taken_as_p(number):
    assert sanding.grain_size(number) == sanding.grain_size(f" p {number} ") == sanding.grain_size(f"{number}")


@pytest.mark.parametrize("number", [180, 220, 100, 60])
def test_up_to_220_the_american_grain_is_within_a_sixth_of_p(number):
    assert sanding.grain_size.si(f"CAMI {number}") == pytest.approx(sanding.grain_size.si(number), rel=0.16)


@pytest.mark.parametrize(
    "text",
    [
        "P3000",
        "P5000",
        "CAMI 2000",
        "P8",
        "#80",
        "F60",
        "P320/600",
        "46 µm",
        "P32O",
        "",
        "P",
        "P-0",
        "320 grit",
        "three",
        "P 32 0",
        "P1e3",
        "٣٢٠",
    ],
)
def test_what_is_no_paper_is_refused(text):
    with refused(None, "grade"):
        sanding.grain_size(text)


def test_the_number_alone_hides_a_factor():
    """Printed: the same number means grains that differ by 1.58, 2.02, 2.77 and 4.07 times."""
    for number, ratio in ((320, 1.58), (400, 2.02), (600, 2.77), (1000, 4.07)):
        sizes = [sanding.grain_size.si(f"{scale} {number}") for scale in SCALES]
        assert max(sizes) / min(sizes) == pytest.approx(ratio, abs=0.011)


@given(papers, st.sampled_from(sorted(SCALES)))
def test_the_same_size_is_the_nearest_of_its_scale(paper, scale):
    grain = sanding.read_grade(f"{paper[0]} {paper[1]}").grain_size
    found = sanding.same_size.si(f"{paper[0]} {paper[1]}", scale)
    assert found.grain_size == sanding.grain_size.si(found.grade)
    assert sanding.same_size.si(found.grade, scale).grade == found.grade
    for row in load_data("grits")[scale]:
        if row.get("verified", True):
            assert abs(np.log(found.size_ratio)) <= abs(np.log(row["size"] * 1e-6 / grain)) + 1e-12


@given(st.floats(15, 1000), st.floats(15, 1000))
def test_a_block_is_read_in_any_unit_and_order(a, b):
    sizes = [sanding.read_block(text) for text in (f"{a:.6f} x {b:.6f} mm", f"{b:.6f}mm×{a:.6f}mm")]
    sizes.append(sanding.read_block((f"{a / 25.4:.9f} in", f"{b / 25.4:.9f} in")))
    for size in sizes:
        assert (size.length, size.width) == pytest.approx((max(a, b) / 1000, min(a, b) / 1000), rel=1e-6)


# --- scratch and roughness -------------------------------------------------------------------------------------


@given(grades, pressures, hardnesses)
def test_a_scratch_grows_with_pressure_and_softness_and_never_swallows_the_grain(grade, pressure, hardness):
    mean, deepest = sanding.scratch.si(grade, pressure, hardness)
    assert 0 < mean <= 0.3 * sanding.grain_size.si(grade) and mean < deepest
    assert sanding.scratch.si(grade, min(pressure * 2, 1e5), hardness).mean >= mean
    assert sanding.scratch.si(grade, pressure, hardness / 2).mean >= mean


def test_scratches_broadcast():
    pressure, hardness = np.geomspace(100, 1e5, 5)[:, None], np.geomspace(50e6, 1e9, 4)
    whole = sanding.scratch.si("P320", pressure, hardness).deepest
    assert whole.shape == (5, 4)
    assert whole[3, 1] == sanding.scratch.si("P320", pressure[3, 0], hardness[1]).deepest
    bands = sanding.scratch_depth(grade="P320", pressure=["1 kPa", "10 kPa"], hardness="surfacer").mean
    assert bands.low.shape == (2,) and np.all(bands.low < bands.middle) and np.all(bands.middle < bands.high)


def test_twice_the_force_makes_more_grains_bear_rather_than_deeper_scratches():
    """Bearing grains against a direct count: heights drawn one by one, pressed until they carry the force."""
    grain, hardness = sanding.grain_size.si("P320"), 200e6
    heights = np.random.default_rng(1).standard_normal(4_000_000) * 0.44 * grain
    cone = np.pi / 2 * hardness * np.tan(np.radians(60)) ** 2 / grain**2 / len(heights)
    depths = []
    for pressure in (1e3, 2e3, 10e3):
        level = brentq(lambda t, p=pressure: cone * (np.maximum(heights - t, 0) ** 2).sum() - p, 0, 6 * grain)
        bearing = heights[heights > level] - level
        depths.append((len(bearing), bearing.mean()))
        assert sanding.scratch.si("P320", pressure, hardness, 1.0).mean == pytest.approx(bearing.mean(), rel=0.06)
    assert 1.7 < depths[1][0] / depths[0][0] < 2 and 1 < depths[1][1] / depths[0][1] < 1.1


def test_a_scratch_of_p320_in_clear_is_several_micrometres_deep():
    found = sanding.scratch_depth("P320", "2.3 kPa", "clear")
    assert 2e-6 < found.mean.middle.to("m").m < 5e-6 and found.deepest.high.to("m").m < 12e-6


STEEL = {
    30: (2.5, 4.5),
    60: (1.2, 1.8),
    80: (0.8, 1.3),
    120: (0.65, 1.0),
    150: (0.55, 0.8),
    180: (0.5, 0.7),
    220: (0.4, 0.6),
    240: (0.3, 0.4),
    280: (0.2, 0.3),
    320: (0.2, 0.25),
    360: (0.12, 0.2),
}


def test_the_printed_steel_is_as_linear_in_the_grain_as_the_law():
    """Lexikon der Pharmatechnologie, Schleifkörnung: Ra along and across, µm; scipy's fit, not ours."""
    grain = np.array([sanding.grain_size.si(f"P{n}") * 1e6 for n in STEEL])
    for column, lay in ((1, "across"), (0, "along")):
        ra = np.array([v[column] for v in STEEL.values()])
        (factor, power), covariance = curve_fit(lambda x, a, b: a + b * x, np.log(grain), np.log(ra))
        stray = 2.26 * covariance[1, 1] ** 0.5  # Student's t, nine degrees of freedom, 95 %
        assert abs(power - 1) < stray + 0.03, f"{lay}: the law has 1, the table {power:.3f} ± {stray:.3f}"
        ours = np.array([sanding.steel_roughness.si(f"P{n}", lay).ra for n in STEEL]) * 1e6
        assert ours == pytest.approx(np.exp(factor) * grain**power, rel=0.01)


def test_every_printed_roughness_lies_in_the_usual_band():
    for number, (_, across) in STEEL.items():
        usual = band(sanding.usual_roughness, f"P{number}")
        assert usual.low.m <= across <= usual.high.m


# --- removal ---------------------------------------------------------------------------------------------------


@given(grades, st.floats(0, 1e5), hardnesses, st.floats(0, 1e4), st.floats(0, 1e4), st.floats(1e-3, 1e5))
def test_removal_of_two_spells_is_that_of_one(grade, pressure, hardness, first, second, dulling):
    def off(distance, used):
        return sanding.removal.si(pressure, distance, grade, hardness, used, dulling)

    assert off(first, 0.0) + off(second, first) == pytest.approx(off(first + second, 0.0), rel=1e-9, abs=1e-300)


@given(st.floats(1e-3, 1e5), st.floats(1.0, 1e4))
def test_paper_changed_at_half_is_never_duller_in_the_mean_than_over_its_whole_life(distance, life):
    mean = float(wear.mean_sharpness(distance, life))
    assert wear.LIFE_SHARPNESS - 1e-12 <= mean <= 1
    assert wear.mean_sharpness(2 * distance, life) <= mean + 1e-12
    dulling = life / wear._LIFE  # the same law as `removal`, whose paper is never changed
    worn = sanding.removal.si(1e3, np.array([life, life * 1.0001]), "P320", 150e6, 0.0, dulling)
    rate = np.diff(worn)[0] / (life * 0.0001) / (sanding.wear_rate.si("P320", 150e6) * 1e3)
    assert rate == pytest.approx(wear.CHANGED_AT, rel=1e-2)
    if distance <= life:
        part = sanding.removal.si(1e3, distance, "P320", 150e6, 0.0, dulling)
        assert mean == pytest.approx(part / sanding.removal.si(1e3, distance, "P320", 150e6), rel=1e-6)


def test_coarse_papers_do_not_cut_alike():
    rate = {grade: sanding.wear_rate.si(grade, 160e6) for grade in ("P40", "P80", "P320", "P600")}
    assert 1.2 < rate["P40"] / rate["P80"] < 2
    assert 2.5 < rate["P80"] / rate["P600"] < 6


def test_thirty_micrometres_of_surfacer_come_off_in_a_band_that_a_person_can_plan_with():
    found = band(sanding.strokes_to_remove, "30 µm", "20 N", "70 x 125 mm", "P320", "surfacer")
    assert 120 < found.middle.m < 300 and found.high.m / found.low.m < 4


def test_materials_do_not_order_by_hardness():
    """Filler is no softer than surfacer and cuts more easily; primer is as hard as surfacer and cuts less."""

    def rate(material, hardness):
        key = coefficient(f"cutting_ease_{material}")
        return sanding.wear_rate.si("P180", float(coefficient(f"hardness_{hardness}")), cutting_ease=key)

    assert coefficient("hardness_filler") > coefficient("hardness_surfacer")
    assert rate("filler", "filler") > rate("surfacer", "surfacer") > 2 * rate("epoxy_primer", "surfacer")


def test_life_of_a_paper_and_pieces_say_the_same():
    hand = {"force": "20 N", "block": "70 x 125 mm", "grade": "P320", "hardness": "surfacer"}
    life = sanding.paper_life(**hand).m
    work = sanding.sanding_work("20 µm", "1 m²", **hand, hand_speed="1 m/s")
    assert work.pieces.m == pytest.approx(work.time.m / life, rel=1e-6)


@given(grades, st.floats(10, 1e5), hardnesses, st.floats(1e-2, 1e4))
def test_dull_paper_cuts_between_a_third_and_all_of_fresh(grade, pressure, hardness, distance):
    fresh = sanding.removal.si(pressure, distance, grade, hardness)
    worn = sanding.removal.si(pressure, distance, grade, hardness, 5.0, 10.0)
    assert 0.3 * fresh <= worn <= fresh


@given(grades, st.floats(10, 1e5), hardnesses, st.floats(1e-2, 1e4), st.floats(0.001, 10))
def test_what_the_gauge_says_gives_the_removal_back(grade, pressure, hardness, distance, wear):
    removed = sanding.removal.si(pressure, distance, grade, hardness, wear_coefficient=wear)
    assert sanding.wear_coefficient_measured.si(removed, pressure, distance, grade, hardness) == pytest.approx(wear)


@given(grades, st.floats(1, 200), hardnesses, st.floats(0.02, 0.4), st.floats(0.02, 0.4), st.integers(1, 500))
def test_the_volume_of_dust_is_film_times_area_whatever_the_block(grade, force, hardness, a, b, strokes):
    block = (quantity(a, "m"), quantity(b, "m"))
    size = sanding.read_block(block)
    removed = strokes / sanding.strokes_to_remove.si(1.0, force, block, grade, hardness)
    # The block goes once over a strip of its width and a length `way`, `strokes` times.
    way = 3.0
    volume = sanding.removed_volume.si(force, strokes * way, grade, hardness)
    assert removed * size.width * way == pytest.approx(volume, rel=1e-9)


def test_a_wear_coefficient_band_reaches_the_plain_answer():
    plain = sanding.removal("2 kPa", "10 m", "P80", "150 MPa")
    spread = band(sanding.removal, "2 kPa", "10 m", "P80", "150 MPa")
    assert spread.low < plain < spread.high
    own = belief.shipped().coefficient("wear_coefficient")  # P80: the size exponent counts besides
    assert own.high / own.low < spread.high.m / spread.low.m < 2 * own.high / own.low


# --- sequence --------------------------------------------------------------------------------------------------

HAND = {"force": "20 N", "block": "70 x 125 mm", "hardness": "surfacer", "film": "60 µm"}


def numbers(step):
    return [np.ravel([[q.m for q in band] for band in (step.strokes, step.film, step.film_left, step.scratch_left)])]


def test_a_coat_between_two_papers_starts_anew():
    alone = sanding.judge_sequence(["P600"], **HAND)[0]
    after = sanding.judge_sequence(["P320", "coat", "P600"], **HAND)[2]
    straight = sanding.judge_sequence(["P320", "P600"], **HAND)[1]
    assert np.allclose(numbers(alone), numbers(after)) and after.grain_ratio is None
    assert straight.strokes.middle > 0 == after.strokes.middle


def test_the_ratio_alone_condemns_a_step_that_is_too_large_and_film_any_other():
    plenty = sanding.judge_sequence(["CAMI 320", "CAMI 600"], **HAND)[1]
    assert plenty.grain_ratio.m == pytest.approx(2.25) and plenty.verdict == "go"
    too_large = ((["P80", "P320"], "P180"), (["P180", "P600"], "P320"), (["P80", "P600"], "P180 and P320"))
    for papers, between in too_large:
        step = sanding.judge_sequence(papers, **{**HAND, "film": "300 µm"})[1]
        assert step.verdict == "no" and f"Put {between} between." in step.reason
    for papers in (["P80", "P180"], ["P180", "P320"], ["P320", "P600"], ["P600", "P1000"]):
        assert sanding.judge_sequence(papers, **{**HAND, "film": "300 µm"})[1].verdict == "go"
    thin = sanding.judge_sequence(["CAMI 320", "CAMI 600"], **{**HAND, "film": "0.5 µm"})[1]
    assert thin.verdict == "no" and "film" in thin.reason


def test_a_coat_thinner_than_the_scratch_is_told_so():
    coats = [sanding.judge_sequence(["P80", f"coat {film}"], **HAND)[1] for film in ("4 µm", "20 µm", "60 µm")]
    assert [coat.verdict for coat in coats] == ["no", "doubtful", "go"]


def test_going_back_to_a_coarser_paper_is_doubtful():
    step = sanding.judge_sequence(["P600", "P320"], **HAND)[1]
    assert step.verdict == "doubtful" and "coarser" in step.reason


@settings(max_examples=30)
@given(st.lists(grades | st.just("coat"), min_size=1, max_size=6), st.floats(5, 60), st.floats(1e-6, 3e-4))
def test_a_sequence_takes_no_film_from_nowhere(sequence, force, film):
    arguments = (quantity(force, "N"), "70 x 125 mm", "filler", quantity(film * 1e6, "µm"))
    steps = sanding.judge_sequence(sequence, *arguments)
    assert len(steps) == len(sequence)
    left, laid = film, 0.0  # coats one upon the other add up
    for entry, step in zip(sequence, steps, strict=True):
        laid = laid + film if entry == "coat" else 0.0
        if entry == "coat":
            left = laid
            continue
        left -= step.film.middle.to("m").m
        assert step.film_left.middle.to("m").m + step.scratch_left.middle.to("m").m == pytest.approx(left, abs=1e-8)
    cost = sanding.sequence_cost(sequence, *arguments, area="0.5 m²")
    assert cost.film.middle.m == pytest.approx(sum(s.film.middle.m for s in steps), rel=1e-3, abs=1e-9)
    assert cost.removed_volume.high.to("m³").m == pytest.approx(0.5 * cost.film.high.to("m").m)


def test_a_sequence_may_be_text():
    listed = sanding.judge_sequence(["P180", "P320", "coat 30 µm", "P600"], **HAND)
    assert listed == sanding.judge_sequence("P180, P320 → coat 30 µm, P600", **HAND)


@pytest.mark.parametrize(
    "bad",
    [
        [],
        None,
        "P320 / P600",
        ["P320", "paint"],
        ["coat 30"],
        ["320"],
        "P320" * 200,
        [["P320"]],
        {"P320"},
        ["P320"] * 41,
        ["coat 1 m"],
        ["P16"],
    ],
)
def test_a_sequence_that_is_none_is_refused(bad):
    with refused(None, "grades"):
        sanding.judge_sequence(bad, **HAND)


def test_a_measured_hand_and_wear_narrow_the_strokes():
    from coursekit.sources import Coefficient

    def mine(value, low, high, key):
        return Coefficient(value, low, high, key=key, kind="measured by you", source="measured-by-you")

    before = sanding.judge_sequence(["P320", "P600"], **HAND)[1].strokes
    after = sanding.judge_sequence(
        ["P320", "P600"],
        **HAND,
        size_exponent=mine(0.5, 0.49, 0.51, "size_exponent"),
        wear_coefficient=mine(0.05, 0.045, 0.055, "wear_coefficient"),
    )[1].strokes
    assert after.high / after.low < 0.8 * before.high / before.low
    spread = sanding.judge_sequence(["P320", "P600"], **{**HAND, "force": mine(20.0, 10.0, 40.0, "hand_force")})[1]
    certain = sanding.judge_sequence(["P320", "P600"], **HAND)[1]
    assert spread.strokes.high / spread.strokes.low > 1.2 * certain.strokes.high / certain.strokes.low


def test_strokes_between_burying_and_going_through():
    hand = {k: v for k, v in HAND.items() if k != "film"}
    found = sanding.strokes_between("P320", "P600", **hand, film="20 µm")
    assert found.verdict == "go" and found.least.middle < found.most.middle
    assert found.least == sanding.judge_sequence(["P320", "P600"], **HAND)[1].strokes
    assert found.ratio.high / found.ratio.low < 0.9 * found.least.high / found.least.low
    assert sanding.strokes_between("P320", "P600", **hand, film="0.5 µm").verdict == "no"
    assert sanding.strokes_between("P320", "P600", **hand, film="8 µm").verdict == "doubtful"


# --- levelling -------------------------------------------------------------------------------------------------


@given(lengths, waves)
def test_levelling_is_what_the_spherical_bessel_functions_of_scipy_say(length, wave):
    q = np.pi * length / wave
    got = sanding.levelling_factor.si(length, wave)
    assert 0 <= got <= 1
    if q > 0.05:
        assert got == pytest.approx(1 - spherical_jn(0, q) ** 2 - 3 * spherical_jn(1, q) ** 2, rel=1e-6)
    if q < 1:  # the same sum without its cancellation: Σ (2n+1) jₙ² is 1
        assert got == pytest.approx(sum((2 * n + 1) * spherical_jn(n, q) ** 2 for n in range(2, 20)), rel=1e-9)


@pytest.mark.parametrize("ratio", [0.15, 0.3, 0.6, 0.9, 1.3, 2.4, 4.1])
def test_levelling_is_what_a_plane_leaves_of_a_sine(ratio):
    """Least squares plane through a sine under the block, over all phases: quadrature, no closed form."""
    q = np.pi * ratio
    s0 = quad(lambda x: np.cos(q * x), -1, 1)[0] / 2
    s1 = quad(lambda x: x * np.sin(q * x), -1, 1)[0] / 2
    left = [
        quad(lambda x, p=p: (np.sin(q * x + p) - s0 * np.sin(p) - 3 * s1 * np.cos(p) * x) ** 2, -1, 1)[0] / 2
        for p in np.arange(8) * np.pi / 8
    ]
    assert sanding.levelling_factor.si(ratio, 1.0) == pytest.approx(2 * np.mean(left), rel=1e-6)


def test_levelling_broadcasts_and_has_no_step_where_the_series_takes_over():
    length, wave = np.array([0.1, 0.2, 0.4])[:, None], np.geomspace(0.01, 10, 7)
    whole = sanding.levelling_factor.si(length, wave)
    assert whole.shape == (3, 7) and whole[1, 4] == sanding.levelling_factor.si(0.2, wave[4])
    near = sanding.levelling_factor.si(1 / np.pi * (1 + np.array([-1e-9, 1e-9])), 1.0)
    assert near[0] == pytest.approx(near[1], rel=1e-7)


@given(st.floats(0, 1e-5), st.floats(0, 1e-4), lengths, waves, st.floats(1e3, 1e5), st.floats(1e7, 1e8))
def test_a_wave_only_falls_and_the_film_for_it_leads_back(amplitude, removed, length, wave, pressure, stiffness):
    left = sanding.wave_left.si(amplitude, removed, length, wave, pressure, stiffness)
    assert 0 <= left <= amplitude
    factor = sanding.levelling_factor.si(length, wave)
    if left > 1e-8 and factor > 1e-3:
        cost = sanding.film_to_level.si(amplitude, left, length, wave, pressure, stiffness)
        assert cost == pytest.approx(removed, rel=1e-6, abs=1e-9)


@given(st.floats(0, 1e-3), st.floats(1e-8, 1e-3), lengths, waves, st.floats(10, 1e5), st.floats(1e6, 1e12))
def test_levelling_never_costs_less_for_a_higher_wave(amplitude, target, length, wave, pressure, stiffness):
    one, more = (
        sanding.film_to_level.si(a, target, length, wave, pressure, stiffness) for a in (amplitude, 1.5 * amplitude)
    )
    assert 0 <= one <= more and (one == 0 if amplitude <= target else one > 0)


@given(lengths, waves, st.floats(1e-3, 1e4), st.floats(1e6, 1e12))
def test_a_board_cuts_no_more_than_its_length_and_its_stiffness_allow(length, wave, bending, backing):
    got = sanding.board_factor.si(length, wave, bending, backing)
    assert 0 <= got <= sanding.levelling_factor.si(length, wave)
    assert got <= 1 / (1 + (wave / sanding.bending_wavelength.si(bending, backing)) ** 4) + 1e-15


def test_a_long_wave_asks_for_the_board_a_short_one_for_the_block():
    hand = {
        "amplitude": "20 µm",
        "target": "2 µm",
        "film": "60 µm",
        "force": "20 N",
        "block": "70 x 125 mm",
        "board": "70 x 400 mm",
        "backing_stiffness": "1 GPa/m",
    }
    assert sanding.board_or_block("300 mm", **hand).choice == "board"
    assert sanding.board_or_block("40 mm", **hand).choice == "block"
    assert sanding.board_or_block("2 m", **hand).choice == "neither"
    with refused("order", "board"):
        sanding.board_or_block("2 m", **{**hand, "board": "70 x 100 mm"})


# --- crowns and edges ------------------------------------------------------------------------------------------


@given(st.floats(500, 2e4), st.floats(0.05, 0.5), st.floats(0.5, 20), st.floats(1e7, 1e10))
def test_the_strip_on_a_crown_carries_the_hand(pressure, length, radius, stiffness):
    """Force balance by scipy's quadrature and root finder."""
    width, ratio = sanding.crown_bearing.si(pressure, length, radius, stiffness)
    assert width * ratio == pytest.approx(length)

    def carried(sink):
        half = min(np.sqrt(2 * radius * sink), length / 2)
        return 2 * quad(lambda x: stiffness * (sink - x**2 / (2 * radius)), 0, half)[0] - pressure * length

    sink = brentq(carried, 0, 10 * (pressure / stiffness + length**2 / radius), xtol=1e-15)
    assert width == pytest.approx(min(2 * np.sqrt(2 * radius * sink), length), rel=1e-4)


@given(st.floats(1e-7, 1e-4), st.floats(500, 2e4), st.floats(0.05, 0.4), st.floats(0.5, 20), st.floats(1e6, 1e11))
def test_a_softer_pad_cuts_a_narrower_flat_and_bears_on_a_wider_strip(removed, pressure, length, radius, stiffness):
    hard, soft = (sanding.flat_width.si(removed, pressure, length, radius, k) for k in (stiffness, stiffness / 2))
    assert 0 < soft <= hard * (1 + 1e-9) and hard <= 2 * np.sqrt(2 * radius * removed) * (1 + 1e-9)
    bears = [sanding.crown_bearing.si(pressure, length, radius, k).contact_width for k in (stiffness, stiffness / 2)]
    assert bears[1] >= bears[0] * (1 - 1e-12)


@given(st.floats(0, 0.49))
def test_the_pressure_at_an_overhung_edge_balances_force_and_moment(overhang):
    """Linear pressure from the edge inwards, force in the middle of the block, by quadrature."""
    ratio = sanding.edge_overhang_pressure.si(overhang)
    rest, arm = 1 - overhang, 0.5 - overhang  # what bears, and where the hand presses, from the edge inwards
    far = 2 / rest - ratio  # from the balance of force
    bears = rest
    if far < 0:
        bears, far = 2 / ratio, 0.0
    moment = quad(lambda x: x * (ratio + (far - ratio) * x / bears), 0, bears)[0]
    assert moment == pytest.approx(arm, rel=1e-6) and bears <= rest * (1 + 1e-9)


@given(st.floats(0, 0.485))
def test_the_overhang_of_a_pressure_leads_back(overhang):
    back = sanding.overhang_allowed.si(sanding.edge_overhang_pressure.si(overhang))
    assert back == pytest.approx(overhang, abs=1e-9)


def test_the_less_film_on_the_line_the_farther_one_stops():
    stops = [sanding.distance_to_line(film, "20 µm", "125 mm") for film in ("10 µm", "21 µm", "24 µm", "80 µm")]
    distances = [stop.stop_distance.m for stop in stops]
    assert distances == sorted(distances, reverse=True) and distances[0] == 10 and distances[-1] == 0
    assert stops[0].overhang == 0 and "tape" in stops[0].reason


# --- what shows ------------------------------------------------------------------------------------------------


@given(st.floats(0.005, 0.5), st.floats(0.05, 0.8))
def test_the_gaussian_filter_is_the_transform_of_its_weights(wave, cutoff):
    """ISO 16610-21 weighs by exp(-π (x/αλc)²)/(αλc): the transform by quadrature, not the closed form."""
    width = np.sqrt(np.log(2) / np.pi) * cutoff
    passed = (
        2
        * quad(
            lambda x: np.exp(-np.pi * (x / width) ** 2) / width * np.cos(2 * np.pi * x / wave),
            0,
            6 * width,
            limit=2000,
        )[0]
    )
    assert sanding.gaussian_transmission.si(wave, cutoff) == pytest.approx(passed, abs=1e-6)


@given(st.floats(0, 137e-9), st.floats(0, 89))
def test_gloss_falls_with_roughness_and_comes_back_at_a_grazing_angle(rq, angle):
    view = np.radians(angle)
    kept = sanding.gloss_factor.si(rq, view)
    assert 0 <= kept <= 1 and sanding.gloss_factor.si(rq / 2, view) >= kept
    assert sanding.gloss_factor.si(rq, min(view + 0.1, np.radians(89))) >= kept - 1e-12


def test_gloss_is_refused_where_the_surface_is_no_longer_smooth():
    with refused("range", "rq"):
        sanding.gloss_factor("0.2 µm", "20 °")


def test_wave_verdicts():
    assert [sanding.wave_verdict(a, "100 mm") for a in ("2 µm", "3 µm", "80 µm")] == [
        "straight",
        "a strict eye sees it",
        "most people see it",
    ]


@pytest.mark.parametrize(
    ("clear", "removed", "verdict"),
    [
        ("60 µm", "7 µm", "go"),
        ("50 µm", "10 µm", "warn"),
        ("45 µm", "10 µm", "fail"),
        ("80 µm", "13 µm", "fail"),
        ("1.9 mil", "0.5 mil", "warn"),
        ("2 mil", "0.3 mil", "go"),
        ("1.4 mil", "0 mil", "go"),
        ("35 µm", "0 µm", "fail"),
    ],
)
def test_polishing_verdicts(clear, removed, verdict):
    """Bulletin 86-10-24: 1.4 mil left; service information 2000: 0.5 mil off; a gauge maker's text: 0.3 mil."""
    budget = sanding.polishing_budget(clear, removed)
    assert budget.verdict == verdict and budget.reason


def test_polishing_off_more_than_there_is_is_refused():
    with refused("impossible", "removed"):
        sanding.polishing_budget("20 µm", "21 µm")


def test_coats_one_upon_the_other_add_up():
    sequence = ["P80", "coat 3 µm", "coat 60 µm", "P600"]
    _, thin, both, paper = sanding.judge_sequence(sequence, "20 N", "70 x 125 mm", "150 MPa", "100 µm")
    assert thin.verdict != "go" and both.verdict == "go" and "scratches of P80" in both.reason
    assert both.film_left.middle.m - thin.film_left.middle.m == pytest.approx(60)
    (alone,) = sanding.judge_sequence(["P600"], "20 N", "70 x 125 mm", "150 MPa", "63 µm")
    assert paper.film_left.low.m == pytest.approx(alone.film_left.low.m, rel=1e-3)
    assert "no scratch to sand out" in paper.reason


@pytest.mark.parametrize(
    "call",
    [
        lambda: sanding.removal("2 kPa", "10 m", "P320", "clear", dulling_distance="0 m"),
        lambda: sanding.wear_coefficient_measured("5 µm", "2 kPa", "0 m", "P320", "clear"),
    ],
)
def test_no_distance_is_refused_however_wide_its_range(call):
    with pytest.raises(RangeError, match="0 m is below the range"):
        call()


def test_papers_coarser_than_any_are_not_advised():
    for grade in ("P11", "CAMI 11"):
        with pytest.raises(InputError, match="Take a paper within it"):
            sanding.grain_size(grade)
