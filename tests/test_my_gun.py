"""The learner's own gun in the benches: start values, measurements that carry over, the table of what is pinned."""

import csv
import json
import re
import threading

import numpy as np
import pytest

from coursekit import folder, lesson, measured, outfit, repair, spraying
from coursekit.belief import band_si, joint, learning
from coursekit.garage_entry import MadeWith, belongs
from coursekit.lesson.coat import plan
from coursekit.lesson.content.benches.gun_sweep import ENDS
from coursekit.lesson.content.shared import one_coat
from coursekit.lesson.learner import own, unit_system
from coursekit.lesson.pages import measurement_form
from coursekit.lesson.pins import pinned
from coursekit.lesson.pins import view as gun_widgets
from coursekit.quantities import InputError
from coursekit.repair import sheet_gun
from coursekit.repair.steps import Spray
from coursekit.repair.writing import recipe_text
from coursekit.spraying import Gun, Hand, Paint, Panel
from tests.calls import refused

GUN = Gun("my gun", tip_bore="1.3 mm", turns=2, gun_inlet_pressure="2 bar", fan_opening="100 %")
PAINT = Paint("clear", density="1 kg/L", volume_solids="45 %", kinematic_viscosity="30 mm²/s")
HAND = Hand("me", gun_distance="7 in", gun_speed="90 fpm", overlap="50 %", trigger="100 %")
PANEL = Panel("hood", panel_width="1 m", panel_height="0.7 m")
CUPS = {
    "one_turn": "30 mL",
    "two_turns": "45 mL",
    "three_turns": "49 mL",
    "time": "15 s",
    "tip_bore": "1.3 mm",
    "kinematic_viscosity": "30 mm²/s",
    "density": "1 kg/L",
    "gun_inlet_pressure": "2 bar",
}
MINUTE = 6e7  # mL/min of one m³/s


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))
    return tmp_path


@pytest.fixture
def mine():
    for record in (GUN, PAINT, HAND, PANEL):
        outfit.keep(record)


def delivery(coat):
    """5 % and 95 % of what the gun delivers, mL/min."""
    return np.percentile(np.broadcast_to(coat.samples.fluid_delivery, one_coat.DRAWS), [5, 95]) * MINUTE


# --- start values ------------------------------------------------------------------------------------------


def test_what_one_thread_makes_as_shipped_leaves_another_its_own_gun(mine):
    outfit.choose("gun", GUN.name)
    seen = []
    with own.as_shipped():
        assert own.my_outfit().gun.name != GUN.name
        other = threading.Thread(target=lambda: seen.append(own.my_outfit().gun.name))
        other.start()
        other.join()
        with own.as_shipped():
            pass
        assert own.my_outfit().gun.name != GUN.name, "it still holds after one inside it"
    assert seen == [GUN.name] and own.my_outfit().gun.name == GUN.name


def test_every_spraying_bench_starts_with_the_chosen_gun(mine):
    bench = lesson.bench("what-if")
    for key, value in outfit.load().si.items():
        if key in bench.controls:
            assert bench.values[key] == pytest.approx(value), key
    assert bench.result.wet.shape == (140, 200), "the learner's panel"
    for key in ("door-film", "near-far"):
        assert "my gun, 1.3 mm tip" in lesson.bench(key).about and "clear, 30 mm²/s" in lesson.bench(key).about
        assert lesson.bench(key).values["gun_distance"] == pytest.approx(7 * 0.0254)
    assert "1.3 mm tip" in lesson.bench("small-area").about
    assert lesson.bench("gun-sweep").values["tip_bore"] == pytest.approx(1.3e-3)
    unit_system.choose("us")
    for key in ("door-film", "near-far", "small-area"):
        about = lesson.bench(key).about
        assert not any(unit in about for unit in (" mm ", " bar", " m of")), about


def test_a_bench_on_the_page_takes_up_a_gun_that_is_chosen_and_keeps_what_was_moved():
    bench = lesson.bench("what-if")
    view = gun_widgets.PinView(bench)
    bench.set(turns=3)
    outfit.keep(GUN)
    unit_system.refresh()
    assert bench.values["tip_bore"] == pytest.approx(1.3e-3) and bench.values["turns"] == 3
    assert view.fields["tip_bore"].value == "1.3 mm"


def test_the_page_of_the_outfit_keeps_chooses_and_says_what_is_wrong(own_folder):
    view = lesson.outfit()
    fields = view.fields["gun"]
    fields["name"].value, fields["tip_bore"].value, fields["gun_inlet_pressure"].value = "mine", "1.4", "20 PSI"
    view.keep("gun")
    assert "Kept and chosen: mine" in view.said["gun"].value and outfit.load().gun.si["tip_bore"] == pytest.approx(
        1.4e-3
    )
    view.choices["gun"].value = "gun with the 1.3 tip"
    assert outfit.load().gun.tip_bore == "1.3 mm"
    view.fields["hand"]["gun_distance"].value = "6-8 in"
    view.keep("hand")
    assert "7 in" in view.said["hand"].value and "ck-failed" in view.said["hand"].value
    view.fields["gun"]["name"].value = "mine"
    view.forget("gun")
    assert not outfit.load().own.get("gun")


# --- measurements ------------------------------------------------------------------------------------------


def test_the_measured_delivery_is_what_the_bench_sprays(mine):
    before = delivery(one_coat.coat(own.my_outfit().si))
    said = measurement_form.enter("delivery", {"paint": "45, 44, 46", "time": "15"})
    assert "Recorded for my gun (1.3 mm tip" in said.sentence
    low, high = delivery(one_coat.coat(own.my_outfit().si))
    assert low < 180 < high and high / low < 1.15 < before[1] / before[0]
    measurement_form.enter("turns", {key: value.partition(" ")[0] for key, value in CUPS.items()})
    low, high = delivery(one_coat.coat(own.my_outfit().si))
    assert low < 180 < high and high / low < 1.15
    text = (measured.load().path).read_text(encoding="utf-8")
    assert 'made_with.gun = "my gun"' in text and 'at.tip_bore = "1.3 mm"' in text


def spread(made, file):
    """Delivery and mist over what the measurements say of a gun and a paint: ratio of 95 to 5 %."""
    belief = file.with_(made).belief
    found = band_si(
        spraying.spray_setting,
        **made.at,
        gun_distance=0.175,
        gun_speed=0.45,
        overlap=0.5,
        trigger=1.0,
        panel_width=1.0,
        panel_height=0.7,
        belief=belief,
    )
    return tuple(float(one.high / one.low) for one in (found.fluid_delivery, found.mist_per_landed))


def test_with_another_tip_or_paint_a_measurement_counts_for_what_carries_over(tmp_path):
    with_13, with_16 = MadeWith.of(GUN, PAINT), MadeWith.of(GUN.but(tip_bore="1.6 mm"), PAINT)
    base = MadeWith.of(GUN, PAINT.but(name="base", kinematic_viscosity="25 mm²/s"))
    other = MadeWith.of(GUN.but(name="other gun"), PAINT)
    empty = measured.load(tmp_path / "none.toml")
    file = measured.load(tmp_path / "garage.toml").with_(with_13)
    file.enter("turns", made_with=with_13, **CUPS)
    here, unmeasured = spread(with_13, file), spread(with_13, empty)
    assert here[0] < 1.2 < unmeasured[0]
    tip, tip_unmeasured = spread(with_16, file), spread(with_16, empty)
    assert here[0] < tip[0] < tip_unmeasured[0], "needle, knob and air count, the tip's own loss does not"
    assert here[0] < spread(base, file)[0] < unmeasured[0], "only how the paint thins is unknown"
    assert spread(other, file)[0] == pytest.approx(unmeasured[0], rel=1e-9), "nothing of another gun counts"
    assert spread(other, file)[1] == pytest.approx(unmeasured[1], rel=1e-9)
    assert "another tip" in file.with_(with_16).carried()[0] and not file.with_(with_13).carried()
    assert "delivery over the formula's" in file.with_(with_16).carried()[0]


def test_the_bench_says_what_counts_with_another_tip(mine):
    measurement_form.enter("turns", {key: value.partition(" ")[0] for key, value in CUPS.items()})
    bench = lesson.bench("what-if")
    assert "another tip" not in bench.html
    low, high = delivery(bench.result.coat)
    bench.set(tip_bore="1.4 mm")
    assert "another tip" in bench.html and "delivery over the formula" in bench.html
    wider = delivery(bench.result.coat)
    assert high / low < wider[1] / wider[0]


def test_a_row_without_gun_stays_readable_and_counts(own_folder):
    rows = [f"{key} = {json.dumps(value, ensure_ascii=False)}" for key, value in CUPS.items()]
    text = "\n".join(["format = 1", "[[measurement]]", 'way = "turns"', "date = 2026-05-30", *rows])
    (own_folder / measured.FILE).write_text(text, encoding="utf-8")
    for record in (GUN, PAINT, HAND):
        outfit.keep(record)
    low, high = delivery(one_coat.coat(own.my_outfit().si))
    assert low < 180 < high and high / low < 1.15
    outfit.keep(GUN.but(tip_bore="1.6 mm"))
    assert "another tip" in own.garage_file().carried()[0]


def test_what_a_number_belongs_to_is_data_with_a_reason():
    from coursekit.nomenclature import load_data

    for row in load_data("belongs").values():
        assert row["of"] in ("gun", "cap", "tip", "paint", "setting") and row["why"] and row["source"]
    assert belongs()["thread_pitch"] == "gun" and belongs()["delivery_scale"] == "tip"


# --- what is pinned ----------------------------------------------------------------------------------------


def test_a_setting_is_the_same_as_itself_and_so_it_is_when_only_the_speed_moved():
    bench = lesson.bench("what-if")
    bench.pin_setting()
    assert "Against the pinned one: the same loss per part landed" in bench.words
    bench.set(gun_speed="0.6 m/s")
    assert "the same loss per part landed" in bench.words and "loses more" not in bench.words
    bench.pin("low air")
    rows = bench.pin_table()[1]
    assert all("– the same" in cell for cell in [rows[1][2], rows[1][4], rows[1][5], rows[1][6], rows[1][7]]), rows
    assert "low air: the same." in bench.pairs()[0]


def test_pins_are_rows_of_one_table_with_the_better_side_of_each_pair(own_folder):
    bench = lesson.bench("what-if")
    bench.pin("low air").set(**one_coat.HIGH_AIR).pin("high air").hold_against("high air")
    head, rows = bench.pin_table()
    assert [row[0] for row in rows] == ["as set now", "low air", "high air"]
    mist, air = head.index("mist per 100 landed"), head.index("air (L/min)")
    assert "better in" in rows[1][mist] and "better in all" in rows[1][air] and "–" not in rows[2][mist]
    texture = head.index("texture (µm)")
    assert "worse in" in rows[1][texture], "less air, coarser drops"
    found = dict(bench.rows_of_pins())
    share = np.mean(found["low air"].samples.mist_per_landed < found["high air"].samples.mist_per_landed)
    assert pinned.pair(pinned.BY_KEY["mist"], found["low air"], found["high air"]).better == pytest.approx(share)
    assert len(bench.pairs()) == 3 and "low air against high air" in bench.pairs()[2]
    again = lesson.bench("what-if")  # as after a restart
    assert list(again.pinned) == ["low air", "high air"]
    names = [row[0] for row in again.sort("mist").pin_table()[1]]
    assert names.index("low air") < names.index("high air")
    assert again.sort("mist", backwards=True).pin_table()[1][0][0] == "high air"
    assert again.use("high air").values["gun_inlet_pressure"] == pytest.approx(2e5)
    assert list(again.unpin("high air").pinned) == ["low air"]
    unit_system.choose("us")
    assert "wet film (mil)" in again.pin_table()[0]


def test_the_table_is_saved_whole_in_the_learners_folder(own_folder):
    bench = lesson.bench("what-if").set(gun_inlet_pressure="15 psi").pin("=2+2").set(turns=3).pin('much, "paint"')
    file = bench.save_pins()
    assert file == own_folder / pinned.FILE
    rows = list(csv.reader(file.read_text(encoding="utf-8").splitlines()))
    assert len(rows) == 4 and len({len(row) for row in rows}) == 1
    assert rows[2][0] == "'=2+2" and rows[3][0] == 'much, "paint"'
    assert rows[1][rows[0].index("air at the gun (bar)")] == "1.03421", "no tail of a conversion"
    wet = rows[0].index("wet film (µm), middle")
    assert float(rows[1][wet]) == pytest.approx(bench.result.coat.bands.wet_film.middle * 1e6, rel=1e-4)
    with pytest.raises(InputError):
        bench.save_pins(3.5)


def test_a_measurement_is_taken_in_once_for_form_and_bench(monkeypatch):
    """What a reading says of the gun costs the time; what it says of the delivery alone and of the air does not."""
    taken, learn = [], joint.Belief.learn
    monkeypatch.setattr(joint.Belief, "learn", lambda self, *seen: taken.extend(seen) or learn(self, *seen))
    learning.learnt.cache_clear(), learning._learnt.cache_clear()
    bench = lesson.bench("what-if")
    kept = {"receiver_volume": "50 L", "from_pressure": "4 bar", "to_pressure": "6 bar", "time": "40 s"}
    measurement_form.enter("receiver", kept)
    measurement_form.enter("delivery", {"paint": "40, 41, 39", "time": "15"})
    bench.compute_again()
    assert [one.key for one in taken if one.call] == ["delivery"]


def test_the_air_is_set_against_what_the_compressor_gives_and_an_unmeasured_one_is_called_so(own_folder):
    bench = lesson.bench("what-if").set(gun_inlet_pressure="2 bar").pin("high air").set(gun_inlet_pressure="0.8 bar")
    label = "air over what the compressor gives (%)"
    assert f"{label} – compressor not measured" in bench.pin_table()[0]
    assert (
        "is not measured: a garage one gives 80 to 300" in bench.pins_html and "yours is not measured" in bench.html
    )
    assumed = bench.result.coat.bands
    kept = {"receiver_volume": "50 L", "from_pressure": "4 bar", "to_pressure": "6 bar", "time": "40 s"}
    assert not measurement_form.enter("receiver", kept).contradiction
    bench.compute_again()
    # 50 L raised by 2 bar of 1.01325 in 40 s are 148 L/min; the band of a bench stays about what that leaves.
    gives = 50 * 2 / 1.01325 / 40 * 60
    found = bench.result.coat.bands
    assert found.air_use == assumed.air_use, "the gun is the same"
    assert found.duty.middle == pytest.approx(found.air_use.middle * MINUTE / 1000 / gives, rel=0.02)
    assert found.duty.high / found.duty.low < 0.6 * assumed.duty.high / assumed.duty.low
    head, rows = bench.pin_table()
    column = head.index(label)
    low, high = (100 * end for end in (found.duty.low, found.duty.high))
    assert [float(end) for end in rows[0][column].split(" – ")[0].split(" to ")] == pytest.approx(
        [low, high], rel=0.05
    )
    assert "Your compressor gives 1" in bench.pins_html and "of what your compressor gives" in bench.html
    told = list(csv.reader(bench.save_pins().read_text(encoding="utf-8").splitlines()))
    share = told[0].index(f"{label}, middle")
    assert float(told[1][share]) == pytest.approx(100 * found.duty.middle, rel=1e-4)
    bench.hold_against("high air")
    assert bench.pin_table()[1][0][column].endswith("better in all")
    assert "air over what the compressor gives better in all" in bench.pairs()[0]


@pytest.mark.parametrize("name", ["", "   ", "x" * 41, "a\nb", None, "as set now"])
def test_a_name_that_is_none_is_refused(name):
    with pytest.raises(InputError):
        lesson.bench("what-if").pin(name)


def test_no_more_than_can_be_read_are_pinned_and_what_is_no_setting_is_left_out():
    bench = lesson.bench("what-if").pin("one")
    there = folder.setting(pinned.SETTING)
    row = there["one"]
    bad = {
        "text": "x",
        "list": [1],
        "no key": {},
        "nan": {**row, "turns": float("nan")},
        "far": {**row, "turns": 99},
        "yes": {**row, "turns": True},
    }
    folder.keep_setting(pinned.SETTING, {**there, **bad})
    assert list(bench.pinned) == ["one"]
    folder.keep_setting(pinned.SETTING, {f"n{n}": row for n in range(pinned.MOST)})
    with pytest.raises(InputError, match="Unpin one first"):
        bench.pin("one more")
    bench.pin("n3")


def test_the_view_pins_sorts_holds_against_and_saves():
    view = gun_widgets.PinView(lesson.bench("what-if"))
    view.name.value = "low air"
    view.pin()
    assert "Pinned: low air" in view.told.value and "low air" in view.table.value and view.name.value == ""
    assert view.which.value == "low air" and view.order.index == 0, "no list stands empty"
    view.sliders["gun_inlet_pressure"].value = 2
    view.pin()
    assert list(view.base.options) == ["as set now", "low air", "setting 2"]
    view.base.value, view.order.value = "low air", "mist"
    assert "Compared with “low air”" in view.table.value
    assert view.which.value == "setting 2", "the newest is at hand"
    view.use()
    view.unpin()
    view.save()
    assert "Written: " in view.told.value and "setting 2" not in view.table.value
    assert view.which.value == "low air"
    assert "low air" in view.bundle()["text/html"] or "low air" in view.bundle()["text/plain"]


def test_what_would_narrow_a_band_is_computed_for_this_answer(mine):
    bench = lesson.bench("what-if")
    before = bench.narrower("wet film")
    assert re.match(r"To narrow the band of the wet film: .* That would cut it to \d+% of its width", before)
    assert "what each turn of the fluid knob gives" in before or "how much paint your gun delivers" in before
    measurement_form.enter("turns", {key: value.partition(" ")[0] for key, value in CUPS.items()})
    after = bench.narrower("wet film")
    assert after != before, "once the cups are measured, another thing is worth most"
    assert "of the mist: " in bench.narrower() and "%" in bench.narrower()
    view = gun_widgets.PinView(bench)
    view.answer.value = "texture"
    view.narrow()
    assert "band of the texture" in view.told.value


# --- sweeps ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("measured", [False, True], ids=["unmeasured", "measured"])
@pytest.mark.parametrize("swept", [one for one in ENDS if one != "fluid tip"])  # the tip has a test of its own
def test_shown_ends_of_a_sweep_hold_against_all_draws_there_are(swept, measured, mine):
    if measured:
        measurement_form.enter("turns", {key: value.partition(" ")[0] for key, value in CUPS.items()})
    bench = lesson.bench("gun-sweep").set(swept=swept)
    found = bench.result
    given = {**one_coat.job(), **{key: value for key, value in bench.values.items() if key != "swept"}}
    for place in (0, -1):
        many = own.band_si(spraying.spray_setting, **{**given, found.field: float(found.places[place])})
        for end in ("low", "high"):
            assert getattr(found.mist, end)[place] == pytest.approx(getattr(many.mist_per_landed, end), rel=0.1)


def test_any_control_can_be_swept_the_tip_with_what_carries_over_to_each(mine):
    measurement_form.enter("turns", {key: value.partition(" ")[0] for key, value in CUPS.items()})
    tip = lesson.bench("gun-sweep").set(swept="fluid tip").result
    assert tip.field == "tip_bore" and tip.middle.fluid_delivery[-1] > tip.middle.fluid_delivery[0]
    for swept in ("viscosity", "solids", "overlap", "trigger", "fan"):
        assert len(lesson.bench("gun-sweep").set(swept=swept).result.places) == 7


# --- words -------------------------------------------------------------------------------------------------


def test_what_the_bench_says_is_short_the_result_first():
    bench = lesson.bench("what-if")
    said = bench.say(bench.now)
    assert said.startswith("One coat lays ")
    for one in (
        said,
        bench.against(bench.now, bench.now.pinned),
        lesson.bench("gun-sweep").words,
        lesson.bench("near-far").words,
        lesson.bench("door-film").words,
    ):
        for sentence in one.split(". "):
            assert len(sentence.split()) <= 30, sentence
    assert all(words in bench.more_html for words in ("Fan ", "wide at 175 mm", "too dry to flow"))


# --- the recipe and the coat plan --------------------------------------------------------------------------


def test_a_recipe_carries_the_gun_with_its_measurements_and_its_card_is_of_that_gun(mine, tmp_path):
    gun = {**GUN.arguments(), "kinematic_viscosity": "30 mm²/s", "fan_opening": "100 %"}
    plain = repair.load(repair.demo_path())
    step = next(step.number for step in plain.steps if isinstance(step, Spray) and step.material == "clear")
    bare = plain
    for key, value in gun.items():
        bare = bare.changed("step", step, key, to=value)
    measurement_form.enter("delivery", {"paint": "45, 44, 46", "time": "15"})
    carried = repair.loads(recipe_text({**bare.written, "measurement": own.gun_rows()}))
    assert len(carried.measurements.entries) == 1 and bare.measurements is None
    bands = []
    for recipe in (bare, carried):
        told = sheet_gun.predicted(repair.replay(recipe), recipe.steps[step - 1])
        bands.append(told.delivery.high / told.delivery.low)
    assert bands[1] < 1.25 < bands[0], "the density of the demo's clear is not the learner's, near enough"
    words = " ".join(sheet_gun.notes(repair.replay(carried), "metric"))
    assert "of your own gun, as measured: how much paint your gun delivers" in words
    bad = recipe_text({**bare.written, "measurement": [{"way": "delivery", "date": "2026-05-30", "time": "15 s"}]})
    with refused("missing", "paint"):
        repair.loads(bad)


def test_the_plan_of_a_coat_starts_with_the_chosen_paint_and_panel(mine):
    entries = plan.start_entries()
    assert entries["volume_solids"].startswith("45") and entries["area"] == "0.7 m²"
