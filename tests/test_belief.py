"""One joint belief: margins kept, facts in print inside it, measurements narrow it in any order."""

import copy
import functools
import pickle
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import coursekit
from coursekit import belief, errors, spraying
from coursekit.belief import joint, kept, learning, make, moves, parts
from coursekit.belief.joint import DRAWS, even_deviates
from coursekit.measurements import estimate, read_field, ways
from coursekit.sources import coefficient, coefficients, sources
from coursekit.spraying.measuring import measurable
from coursekit.uncertain import Coefficient

SHIPPED = Path(coursekit.__file__).parent / "tables" / "belief.npy"
USUAL = {
    "turns": 2.0,
    "gun_inlet_pressure": 2e5,
    "fan_opening": 1.0,
    "gun_distance": 0.175,
    "gun_speed": 0.45,
    "overlap": 0.5,
    "trigger": 1.0,
    "tip_bore": 1.3e-3,
    "kinematic_viscosity": 30e-6,
    "density": 1000.0,
    "volume_solids": 0.45,
    "panel_width": 1.0,
    "panel_height": 0.7,
}


# --- the shipped sample -------------------------------------------------------------------------------------


def test_the_shipped_sample_is_that_of_tables_facts_and_physics_to_the_byte():
    """After a change of a margin, of a fact or of the physics: python -m coursekit.belief.make."""
    assert make.written(make.made()) == SHIPPED.read_bytes()
    assert SHIPPED.stat().st_size < 1.5e6


def test_last_digits_do_not_reach_the_sample():
    """Steps of the shipped deviates are far wider than what libraries of mathematics differ by."""
    kept = np.load(SHIPPED)
    assert all(kept[part][key].dtype == "<i2" for part in kept.dtype.names for key in kept[part].dtype.names)
    assert 1e9 * np.finfo(float).eps < 2.0**-12


@pytest.mark.parametrize("key", belief.facts())
def test_what_is_in_print_lies_inside_the_band(key):
    """Source: each row of tables/facts/ names its own."""
    fact, whole = belief.facts()[key], belief.shipped()
    low, _, high = belief.quantiles(fact.answer({k: whole.column(k) for k in fact.keys}, whole.draws))
    for one in fact.prints:
        assert low < one.value < high, f"{key}: {one.value} is not in {low:.3g} to {high:.3g}"
        assert one.source in sources() and one.why


@pytest.mark.parametrize("key", belief.facts())
def test_the_band_is_no_wider_than_the_margins_alone_have_it(key):
    fact, whole = belief.facts()[key], belief.shipped()
    random = np.random.default_rng(7)
    margins = {k: coefficient(k).at(random.permutation(even_deviates(DRAWS))) for k in fact.keys}
    spread = [
        np.ptp(np.log(belief.quantiles(fact.answer(columns, DRAWS))))
        for columns in ({k: whole.column(k) for k in fact.keys}, margins)
    ]
    assert spread[0] < spread[1]


def test_keys_that_no_fact_touches_keep_their_margins_exactly():
    whole = belief.shipped()
    free = [key for key in coefficients() if key not in whole.ties and key != "transfer_efficiency"]
    assert len(free) > 40
    for key in free:
        number = coefficients()[key]
        got = belief.quantiles(whole.column(key))
        assert tuple(got) == pytest.approx((number.low, float(number), number.high), rel=2e-3), key
    columns = np.array([np.argsort(np.argsort(whole.column(key))) for key in free])
    off = np.corrcoef(columns) - np.eye(len(free))
    assert np.abs(off).max() < 0.1, "each strays for itself"


def test_import_reads_no_sample():
    belief.shipped.cache_clear()
    assert belief.shipped.cache_info().currsize == 0
    import coursekit.sanding  # noqa: F401

    assert belief.shipped.cache_info().currsize == 0


# --- quantiles and thinning ---------------------------------------------------------------------------------

numbers = st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=40)


@given(numbers, st.integers(1, 5))
def test_whole_weights_count_as_copies(values, times):
    """A draw of weight three stands for three draws: between neighbours, as each copy takes its own place."""
    values = np.sort(np.array(values))
    weights = np.ones(len(values))
    weights[0] = times
    whole = belief.quantiles(values, weights / weights.sum())
    copies = np.sort(np.r_[np.repeat(values[:1], times), values[1:]])
    for got, percent in zip(whole, (5, 50, 95), strict=True):
        near = [np.percentile(copies, percent, method=how) for how in ("lower", "higher")]
        slack = 1e-9 * max(abs(values[0]), abs(values[-1]), 1.0) + np.diff(values, append=values[-1]).max()
        assert near[0] - slack <= got <= near[1] + slack


@given(st.lists(st.floats(0.01, 1), min_size=2, max_size=200), st.integers(1, 60))
def test_systematic_rows_stand_for_their_weight(weights, count):
    weights = np.array(weights) / np.sum(weights)
    often = np.bincount(moves.systematic(weights, count), minlength=len(weights))
    assert often.sum() == count and np.all(np.abs(often - count * weights) < 1 + 1e-9)


@pytest.mark.parametrize("count", [1, moves.AT_ONCE - 1, moves.AT_ONCE, 3 * moves.AT_ONCE + 7])
def test_products_and_spread_in_parts_are_those_of_the_whole(count):
    random = np.random.default_rng(3)
    rows, matrix = random.standard_normal((count, 5)), random.standard_normal((5, 3))
    assert moves.times(rows, matrix) == pytest.approx(rows @ matrix, rel=1e-12, abs=1e-12)
    if count > 1:
        assert moves.spread_of(rows) == pytest.approx(np.cov(rows.T), rel=1e-10, abs=1e-12)


@pytest.mark.parametrize("draws", [100, 200, 500, 1000])
def test_few_draws_hold_the_ends_of_all(draws):
    """Film, mist, paint past the edge and texture over settings far from the one that puts the draws in order."""
    worst = 0.0
    for change in (
        {},
        {"trigger": 0.5},
        {"gun_inlet_pressure": 3.4e5},
        {"gun_distance": 0.25},
        {"turns": 4.0},
        {"fan_opening": 0.2, "gun_inlet_pressure": 0.8e5},
    ):
        many, few = (belief.band_si(spraying.spray_setting, draws=n, **{**USUAL, **change}) for n in (None, draws))
        for part in ("wet_film", "mist_per_landed", "past_edge_per_landed", "texture"):
            ends, told = (np.log(np.array(getattr(found, part))) for found in (many, few))
            worst = max(worst, np.abs(ends - told).max() / np.ptp(ends))
    assert worst < {100: 0.2, 200: 0.15, 500: 0.08, 1000: 0.05}[draws]


# --- measurements -------------------------------------------------------------------------------------------

CUPS = {
    "time": "15 s",
    "tip_bore": "1.3 mm",
    "kinematic_viscosity": "30 mm²/s",
    "density": "1 kg/L",
    "gun_inlet_pressure": "2 bar",
}
CARD = {key: value for key, value in USUAL.items() if key not in ("gun_speed", "trigger")}
CARD_TEXT = {
    "turns": "2",
    "gun_inlet_pressure": "2 bar",
    "fan_opening": "100 %",
    "gun_distance": "175 mm",
    "overlap": "50 %",
    "tip_bore": "1.3 mm",
    "kinematic_viscosity": "30 mm²/s",
    "density": "1 kg/L",
    "volume_solids": "45 %",
    "panel_width": "600 mm",
    "panel_height": "400 mm",
}


def seen(way, **texts):
    row = ways()[way]
    found = estimate(row, {key: read_field(row, key, text) for key, text in texts.items()}, {})
    if isinstance(found, dict):
        return tuple(belief.read_directly(key, *one) for key, one in found.items())
    assert not found.contradiction
    return found.observed


@functools.lru_cache(maxsize=1)
def truth():
    """Readings of a gun that is one of the draws."""
    whole = belief.shipped()
    row = int(np.argsort(spray(whole).wet_film)[DRAWS // 3])
    gun = {key: float(whole.column(key)[row]) for key in coefficients()}

    def at(call, **si):
        uncertain = {name: gun[key] for name, key in belief.observation.uncertain_arguments(call) if name not in si}
        return belief.observation.call_of(call)(**si, **uncertain)

    cups = [
        at(
            "spraying.fluid.delivery_at_inlet",
            turns=turns,
            gun_inlet_pressure=2e5,
            tip_bore=1.3e-3,
            kinematic_viscosity=30e-6,
            density=1000.0,
        )
        for turns in (1.0, 2.0, 3.0)
    ]
    cap = spraying.pressure_at_cap.si(2e5, gun["passage_ratio"])
    share = at("spraying.spray_setting", **{**USUAL, "panel_width": 0.6, "panel_height": 0.4}).account
    texts = [f"{15e6 * flow:.2f} mL" for flow in cups]
    return {
        "turns": seen("turns", one_turn=texts[0], two_turns=texts[1], three_turns=texts[2], **CUPS),
        "gauge": seen("gauge", air_gauge="inlet", gun_inlet_pressure="2 bar", cap_pressure=f"{cap / 1e5:.4f} bar"),
        "landing": seen("landing", transfer_efficiency=f"{100 * share.transfer_efficiency:.2f} %", **CARD_TEXT),
    }


def spray(whole):
    gun = {name: whole.column(key) for name, key in belief.observation.uncertain_arguments("spraying.spray_setting")}
    return spraying.spray_setting.si(**USUAL, **gun)


@functools.lru_cache(maxsize=16)
def after(*order):
    return belief.learnt(tuple(truth()[way] for way in order))


def widths(whole):
    found = spray(whole)
    return {
        part: np.ptp(np.log(belief.quantiles(getattr(found, part), whole.weights)))
        for part in ("wet_film", "mist_per_landed", "fluid_delivery", "captured")
    }


ORDERS = [("turns", "gauge", "landing"), ("landing", "turns", "gauge"), ("gauge", "landing", "turns")]


@pytest.mark.parametrize("order", ORDERS, ids="-".join)
def test_bands_never_get_wider_by_a_measurement_that_agrees(order):
    """A seventh is what a width trembles by: some thousand draws are left at each step, a few dozen beyond an end.

    It does not add up: no band is ever a seventh wider than before anything was measured, and all three together
    leave every one of them at most 0.6 as wide (0.53 of it is the most in any order).
    """
    first = before = widths(belief.shipped())
    for count in range(1, 4):
        now = widths(after(*order[:count]))
        assert all(now[part] < 1.15 * min(before[part], first[part]) for part in now), (order[:count], before, now)
        before = now
    assert all(before[part] < 0.6 * first[part] for part in first), (order, first, before)
    assert before["fluid_delivery"] < 0.5 * first["fluid_delivery"]
    assert before["wet_film"] < 0.6 * first["wet_film"]


def test_the_order_of_measurements_does_not_matter():
    ends = []
    for order in ORDERS:
        whole = after(*order)
        found = spray(whole)
        ends.append(
            [
                np.log(belief.quantiles(getattr(found, part), whole.weights))
                for part in ("wet_film", "mist_per_landed", "fluid_delivery", "captured")
            ]
        )
    ends = np.array(ends)
    band = np.ptp(ends, axis=2).mean(axis=0)
    assert (np.ptp(ends, axis=0) / band[:, None]).max() < 0.1


def test_what_is_learnt_is_what_a_run_with_the_calls_themselves_comes_to():
    """Moves run on quadratic forms; the reference moves on the facts' and the readings' own calls, twice as long.

    Against three times as many draws and thirty more moves no end was off by more than 0.04 of the band.
    """
    whole, readings = belief.shipped(), [one for way in ORDERS[0] for one in truth()[way]]
    keys = sorted({*whole.tied, *(key for one in readings for key in one.keys)})
    start = [whole.tied.get(key, coefficient(key).deviate(whole.column(key))) for key in keys]
    reference = moves.weighed(
        moves.Draws(np.stack(start, axis=1), whole.weights),
        parts.log_likelihood(keys, parts.facts_of(whole.tied)),
        parts.log_likelihood(keys, readings),
        np.random.default_rng(11),
        parts.STAGE,
        parts.MOVES,
        parts.MOVES,
    )
    found = joint.of_draws(keys, reference, {}, ())
    for part in ("wet_film", "mist_per_landed", "fluid_delivery", "captured"):
        exact, learnt = (
            np.log(belief.quantiles(getattr(spray(one), part), one.weights)) for one in (found, after(*ORDERS[0]))
        )
        assert np.abs(exact - learnt).max() < 0.1 * np.ptp(exact), part


def test_a_card_that_only_some_guns_of_the_course_can_land_is_taken():
    """72 % with much paint at little air: the middle gun lands 69 % at most, whatever its cut."""
    texts = {
        **CARD_TEXT,
        "gun_inlet_pressure": "1.2 bar",
        "gun_distance": "150 mm",
        "tip_bore": "1.6 mm",
        "kinematic_viscosity": "60 mm²/s",
        "density": "1.3 kg/L",
        "volume_solids": "42 %",
    }
    (one,) = seen("landing", transfer_efficiency="72 %", **texts)
    assert one.prints[0].value == pytest.approx(0.72)
    with pytest.raises(errors.InputError, match="beyond"):
        seen("landing", transfer_efficiency="97 %", **texts)


def test_what_was_measured_lies_inside_its_own_band():
    whole = after(*ORDERS[0])
    for way, observed in truth().items():
        for one in observed:
            low, _, high = belief.quantiles(
                one.answer({key: whole.column(key) for key in one.keys}, whole.draws), whole.weights
            )
            assert low < one.prints[0].value < high, way


def test_a_belief_is_the_same_each_time():
    whole = belief.shipped()
    one, other = (whole.learn(*truth()["landing"]) for _ in range(2))
    assert all(np.array_equal(one.tied[key], other.tied[key]) for key in one.tied)
    assert np.array_equal(one.weights, other.weights) and one == other and hash(one) == hash(other)
    assert one != whole


@settings(max_examples=25)
@given(st.floats(0.7, 1.4), st.floats(0.01, 0.4))
def test_a_number_for_itself_is_its_margin_times_the_reading(factor, spread):
    """Two bell curves on the scale of factors multiply to a bell curve: precisions add up."""
    number = coefficients()["width_factor"]
    symmetric = np.log(number.high / number), np.log(number / number.low)
    read = belief.read_directly("width_factor", factor * number, spread)
    got = belief.shipped().learn(read).coefficient("width_factor")
    own, reading = np.mean(symmetric) / 1.645, np.log1p(spread) / 1.645
    middle = np.log(factor) * own**2 / (own**2 + reading**2)
    width = 2 * 1.645 * (own**-2 + reading**-2) ** -0.5
    assert np.log(got / number) == pytest.approx(middle, abs=0.02 + 0.08 * own)
    assert np.log(got.high / got.low) == pytest.approx(width, rel=0.15)
    assert got.high / got.low < number.high / number.low


# --- learnt no sooner than asked, and once ------------------------------------------------------------------


@pytest.fixture
def fresh(tmp_path, monkeypatch):
    """A folder of the learner, and what another kernel knows: nothing. Counts what is learnt."""
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))
    times = []
    plain = joint.Belief._learn_joint
    monkeypatch.setattr(joint.Belief, "_learn_joint", lambda self, new: (times.append(1), plain(self, new))[1])

    def forget():
        learning.learnt.cache_clear()
        learning._learnt.cache_clear()
        times.clear()
        return times

    yield forget
    forget()


TWO = ("turns", "landing")


def told_of(*ways):
    return tuple(truth()[way] for way in ways)


def alike(one, other):
    return (
        one.measured == other.measured
        and one.carried == other.carried
        and one.tied.keys() == other.tied.keys()
        and all(np.array_equal(one.tied[key], other.tied[key]) for key in one.tied)
        and all(np.array_equal(one.alone[key], other.alone[key]) for key in one.alone | other.alone)
        and np.array_equal(one.weights, other.weights)
        and np.array_equal(one.rows, other.rows)
    )


def test_nothing_is_learnt_for_a_number_that_no_reading_bears_on(fresh):
    times = fresh()
    force = belief.read_directly("hand_force", 1.1 * coefficient("hand_force"), 0.1)
    mine = belief.learnt((*told_of(*TWO), (force,)))
    assert mine.coefficient("hand_force").kind == "measured by you" and mine.moved("hand_force")
    wear = mine.coefficient("wear_coefficient")
    course = belief.shipped().coefficient("wear_coefficient")
    assert (wear.low, float(wear), wear.high) == (course.low, float(course), course.high)
    assert belief.band_si(lambda a, b: a * b, wear, mine.coefficient("hand_force")).low > 0
    assert mine.moved("cut_factor") and not mine.moved("wear_coefficient") and hash(mine) and repr(mine.token)
    assert not times, "only sanding was asked"
    assert mine.coefficient("cut_factor") != coefficients()["cut_factor"] and len(times) == 1
    whole = belief.shipped().learn(*truth()["turns"], *truth()["landing"])
    assert mine.coefficient("cut_factor") == pytest.approx(float(whole.coefficient("cut_factor")), rel=1e-12)


@pytest.mark.parametrize(
    ("here", "elsewhere"), [(("turns", "gauge"), ("landing",)), (("gauge",), ("turns", "landing"))]
)
def test_another_kernel_reads_what_was_learnt_to_the_last_digit(fresh, tmp_path, here, elsewhere):
    force = belief.read_directly("hand_force", 1.1 * coefficient("hand_force"), 0.1)
    asked = ((force,), *told_of(*here)), told_of(*elsewhere), ("delivery_scale",)
    times = fresh()
    first = belief.learnt(*asked)
    assert len(first.weights) == DRAWS and len(times) == 2, "those made elsewhere, and those made here"
    times = fresh()
    second = belief.learnt(*asked)
    assert alike(first, second) and not times and first == second
    for file in (tmp_path / "learnt").iterdir():
        file.unlink()
    times = fresh()
    assert alike(first, belief.learnt(*asked)) and len(times) == 2


@pytest.mark.parametrize(
    "harm",
    [
        lambda data: b"",
        lambda data: data[:-7],
        lambda data: b"NUMPY" + data[9:],
        lambda data: data[:5000] + bytes([data[5000] ^ 1]) + data[5001:],
        lambda data: data[::-1],
    ],
)
def test_a_damaged_or_foreign_file_is_learnt_again(fresh, tmp_path, harm):
    fresh()
    first = belief.learnt(told_of("landing"))
    assert len(first.weights) == DRAWS
    [file] = (tmp_path / "learnt").iterdir()
    good = file.read_bytes()
    file.write_bytes(harm(good))
    assert file.read_bytes() != good
    times = fresh()
    assert alike(first, belief.learnt(told_of("landing"))) and times
    assert file.read_bytes() == good
    file.rename(file.with_name(kept.name_of("another") + kept.END))
    assert kept.read(kept.name_of("another")) is None, "a file under another's name"


def test_a_folder_that_takes_no_file_is_no_trouble(fresh, tmp_path, monkeypatch):
    (tmp_path / "learnt").write_text("a file where the folder would be")
    times = fresh()
    assert len(belief.learnt(told_of("landing")).weights) == DRAWS and times
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path / "nowhere"))
    times = fresh()
    assert len(belief.learnt(told_of("landing")).weights) == DRAWS and times
    assert not (tmp_path / "nowhere").exists()


def test_a_handful_of_files_is_kept_and_the_newest_among_them(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))
    for number in range(kept.MOST + 3):
        kept.write(kept.name_of(number), {"weights": np.full(3, number)})
    assert len(list((tmp_path / "learnt").iterdir())) == kept.MOST
    assert kept.read(kept.name_of(0)) is None
    assert kept.read(kept.name_of(kept.MOST + 2))["weights"][0] == kept.MOST + 2


# --- coefficients -------------------------------------------------------------------------------------------


def test_a_coefficient_cannot_be_changed_and_goes_anywhere():
    number = coefficient("cap_area")
    with pytest.raises(AttributeError):
        number.low = 3.0
    for twin in (copy.copy(number), copy.deepcopy(number), pickle.loads(pickle.dumps(number))):
        assert twin == number and hash(twin) == hash(number)
        assert (twin.low, twin.high, twin.key) == (number.low, number.high, number.key)
    mine = after("landing").coefficient("cut_factor")
    assert pickle.loads(pickle.dumps(mine)) == mine
    assert "cap_area" in repr(number) and "1.14e-05 to 2.14e-05" in repr(number)


def test_coefficients_are_told_apart_by_band_and_belief():
    def one(low, high):
        return Coefficient(1.0, low, high, key="delivery_scale", kind="assumed", source="assumed-here")

    assert one(0.5, 2) == one(0.5, 2) and one(0.5, 2) != one(0.9, 1.1) and one(0.5, 2) != 1.0
    assert len({one(0.5, 2), one(0.9, 1.1), one(0.5, 2), 1.0}) == 3
    calls = []
    cached = functools.lru_cache(lambda number: calls.append(number))
    for number in (one(0.5, 2), one(0.9, 1.1), one(0.5, 2)):
        cached(number)
    assert len(calls) == 2, "a better measurement is computed anew"


def test_the_same_number_in_two_arguments_strays_once():
    number = coefficient("cut_factor")
    assert belief.band_si(lambda a, b: a / b, number, number) == (1, 1, 1)


def test_a_band_takes_no_number_of_another_belief():
    mine = after("landing").coefficient("cut_factor")
    assert belief.band_si(lambda share: share, mine, belief=after("landing")) == belief.band_si(lambda n: n, mine)
    with pytest.raises(ValueError, match="two beliefs"):
        belief.band_si(lambda share: share, mine, belief=belief.shipped())


# --- what makes it wide -------------------------------------------------------------------------------------


def test_one_cause_is_all_of_the_band_and_its_measurement_narrows_it():
    found = belief.widest(lambda cap_area: cap_area**2, cap_area=coefficient("cap_area"))
    assert found.causes[0].key == "cap_area" and found.causes[0].share > 0.97
    found = belief.widest(
        lambda passage_ratio, cap_area: passage_ratio + 0 * cap_area,
        passage_ratio=coefficient("passage_ratio"),
        cap_area=coefficient("cap_area"),
        measurements=measurable(**CARD),
    )
    assert found.causes[0].key == "passage_ratio" and found.causes[1].share < 0.03
    assert found.measurements[0].way == "gauge"
    # A reading of 6 % against a margin of 30 %: what is left of the width is about 6 over √(6² + 30²).
    assert found.measurements[0].left == pytest.approx(0.06 / np.hypot(0.06, np.log(0.71 / 0.42) / 2), rel=0.25)


def test_what_is_foretold_of_a_measurement_comes_true():
    part = "wet_film"
    told = {
        one.way: one.left
        for one in belief.widest(spraying.spray_setting, part, **USUAL, measurements=measurable(**CARD)).measurements
    }
    assert min(told, key=told.get) in ("turns", "delivery")
    narrowed = widths(after("turns"))[part] / widths(belief.shipped())[part]
    assert narrowed == pytest.approx(told["turns"], abs=0.15)


def test_evidence_says_what_each_fact_did():
    rows = belief.evidence(spraying.spray_setting, "account.transfer_efficiency", **USUAL)
    assert {row.fact.key for row in rows} == set(belief.facts())
    for row in rows:
        assert row.before == rows[0].before and row.all == rows[0].all
        assert row.all.high - row.all.low < row.before.high - row.before.low
    narrow = {row.fact.key: row.alone.high - row.alone.low for row in rows}
    assert narrow["transfer-door"] < narrow["film-of-two-guns"], "it is about this very question"
