"""The steps of a repair: each knows its entries and their words; recipes and drafts of format 1 still open."""

import json
import tomllib
from pathlib import Path

import pytest

from coursekit import repair
from coursekit.lesson import plan_repair
from coursekit.lesson.plan.draft import Draft
from coursekit.lesson.plan.entries import fields_of
from coursekit.nomenclature import names
from coursekit.quantities import InputError
from coursekit.repair.formats import RENAMED
from coursekit.repair.playing import _encoded
from coursekit.repair.recipe import loads
from coursekit.repair.steps import STEPS, Fill, Mask, Sand, Spray, Timed
from coursekit.repair.vocabulary import DAMAGE, FORECAST, GARAGE, HAND, MATERIAL, PANEL
from coursekit.repair.writing import recipe_text
from tests.test_repair import GOOD

OLD = Path(__file__).parent / "recipes"
SPRAYED = GOOD + '[[step]]\ndo = "spray"\nmaterial = "epoxy primer"\n'


def old(text):
    return text.replace("format = 2", "format = 1")


# --- entries ---


@pytest.mark.parametrize("do", STEPS)
def test_each_entry_of_a_step_has_its_words_and_its_own_meaning(do):
    entries = STEPS[do].entries()
    for key, one in entries.items():
        assert one.words and one.told and one.told != one.words, key
        assert one.default is not None or one.first or key == "material", f"a new step would not know its {key}"
    assert len({one.words for one in entries.values()}) == len(entries)
    assert len({one.told for one in entries.values()}) == len(entries)


def test_no_entry_takes_over_the_meaning_of_a_row_that_speaks_of_something_else():
    """A row that is borrowed for its unit says nothing of the entry; x and y of a damage are such places."""
    tables = {"panel": PANEL, "damage": DAMAGE} | {do: kind.entries() for do, kind in STEPS.items()}
    for row in ("place", "transfer_efficiency", "paint_volume", "step_time"):
        borrowed = {
            (table, key)
            for table, entries in tables.items()
            for key, one in entries.items()
            if one.row == row and one.told == names()[row].meaning
        }
        assert borrowed <= {("damage", "x"), ("damage", "y")}
    assert "block" not in STEPS["polish"].entries()["force"].told
    assert "body line" in STEPS["block"].entries()["keep_off"].told


def test_every_table_of_a_recipe_has_words_for_a_form():
    for table in (PANEL, DAMAGE, GARAGE, FORECAST, HAND, MATERIAL):
        for key, one in table.items():
            assert one.words and "_" not in one.words, key


def test_a_form_asks_the_own_entries_of_a_step_first():
    assert list(STEPS["block"].entries())[:3] == ["tool", "paper", "strokes"]
    assert list(STEPS["polish"].entries())[:3] == ["tool", "compound", "time"]
    assert list(fields_of("clean"))[:3] == ["wipes", "time", "area"]


def test_a_step_is_made_of_its_settings():
    spray = repair.load(repair.demo_path()).steps[9]
    assert isinstance(spray, Spray) and (spray.coats, spray.brings, spray.words) == (2, "surfacer", "spray surfacer")
    assert spray.settings == {key: getattr(spray, key) for key in Spray.entries()}
    assert spray.overlap == pytest.approx(0.5) and spray.planned_film(repair.load(repair.demo_path())) > 50e-6
    kinds = {do: kind for do, kind in STEPS.items() if issubclass(kind, Sand)}
    assert set(kinds) == {"block", "hand sand", "machine sand", "polish"}
    assert {do for do, kind in STEPS.items() if kind.quick} == {"clean", "guide coat", "mask", "unmask"}
    assert all(issubclass(kind, Timed) for kind in STEPS.values() if kind.quick)


def test_result_of_a_step_is_typed():
    played = repair.replay(repair.load(repair.demo_path()))
    used = played[9].used
    assert used.mixed == pytest.approx(used.sprayed + used.left) and used.hung > 0
    assert played[9].used.sprayed * used.volume_solids == pytest.approx(used.solids.laid, rel=1e-12)
    assert played[1].used.deepest > 0 and isinstance(played[1].step, Fill)
    assert played[3].used.pieces > 0 and not played[3].used.preview
    assert played[8].used.area > 0 and isinstance(played[8].step, Mask)


# --- the memory of steps ---


def test_only_equal_settings_share_a_key_in_the_memory_of_steps():
    values = [
        None,
        0,
        0.0,
        1,
        1.0,
        True,
        "1",
        "",
        "a",
        ("a",),
        ("a", ""),
        (),
        (1, 2),
        ((1,), 2),
        {"a": 1},
        {"a": "1"},
    ]
    values += [1.0000000000000002, b"1", b"", {"a": 1, "b": 2}, "1;", ("t1:a",)]
    keys = [_encoded(value) for value in values]
    same = [(a, b) for n, a in enumerate(values) for m, b in enumerate(values) if m < n and keys[n] == keys[m]]
    assert same == [(True, 1)]
    assert _encoded({"b": 2, "a": 1}) == _encoded({"a": 1, "b": 2})
    with pytest.raises(TypeError):
        _encoded({1, 2})


def test_the_memory_of_steps_does_not_read_what_a_setting_prints():
    class Loud(float):
        def __repr__(self):
            return "about one"

    assert _encoded(Loud(1.0)) == _encoded(1.0) != _encoded(Loud(1.1))


# --- format 1 ---


@pytest.mark.parametrize("which", ["door_repair", "impatient_repair"])
def test_a_recipe_of_format_1_opens_and_is_kept_in_the_new_format(which):
    """The demo repairs as they were then, beside the same with the words of format 2 put in by hand."""
    text = (OLD / f"{which}_format_1.toml").read_text(encoding="utf-8")
    by_hand = text.replace("format = 1", "format = 2")
    for keys in RENAMED.values():
        for was, now in keys.items():
            by_hand = by_hand.replace(f"\n{was} = ", f"\n{now} = ")
    before, after = loads(text), loads(by_hand)
    assert before == after and [step.line for step in before.steps] == [step.line for step in after.steps]
    kept = recipe_text(before.written)
    assert tomllib.loads(kept) == {**tomllib.loads(by_hand), "format": 2}
    assert [step.settings for step in loads(kept).steps] == [step.settings for step in before.steps]


def test_a_complaint_about_a_renamed_key_names_its_line_in_the_file():
    with pytest.raises(InputError) as told:
        loads(old(SPRAYED + 'reduction = "5 %"\nspeed = "fast"\n'), "mine.toml")
    line = SPRAYED.count("\n") + 2
    assert told.value.problems[0].where == ("step", 1, "gun_speed") and told.value.problems[0].line == line


@pytest.mark.parametrize(
    ("do", "was", "now"), [(do, *pair) for do, names in RENAMED.items() for pair in names.items()]
)
def test_each_format_knows_its_own_keys_only(do, was, now):
    step = {
        "spray": 'material = "epoxy primer"',
        "mask": 'open = { x = "9 mm", y = "9 mm", width = "99 mm", height = "99 mm" }',
    }
    text = f'{GOOD}[[step]]\ndo = "{do}"\n{step[do]}\n'
    value = {"fluid_delivery": "90 mL/min", "gun_speed": "0.3 m/s"}.get(now, "9 mm")
    new, before = loads(f'{text}{now} = "{value}"\n'), loads(old(f'{text}{was} = "{value}"\n'))
    assert getattr(new.steps[1], now) == getattr(before.steps[1], now) != getattr(loads(text).steps[1], now)
    for bad, named in ((f'{text}{was} = "{value}"\n', now), (old(f'{text}{now} = "{value}"\n'), was)):
        with pytest.raises(InputError) as told:
            loads(bad)
        assert told.value.kind == "unknown key" and named in told.value.remedy


def test_a_draft_kept_in_format_1_keeps_what_was_typed(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))
    form = plan_repair(repair.load(repair.demo_path())).pick(10).set(gun_speed="0.5 m/s")
    draft = tmp_path / "plan_draft.json"
    kept = json.loads(draft.read_text(encoding="utf-8"))
    back = {do: {now: was for was, now in names.items()} for do, names in RENAMED.items()}

    def before(do, table):
        return {back.get(do, {}).get(key, key): value for key, value in table.items()}

    kept["steps"] = [{**one, "written": before(one["do"], one["written"])} for one in kept["steps"]]
    playable = form.recipe.written  # what a form of that time kept beside its draft
    kept["playable"] = {**playable, "format": 1, "step": [before(one["do"], one) for one in playable["step"]]}
    for key in ("format", "good", "same", "typed", "planned", "beside"):
        del kept[key]
    for one in kept["steps"]:
        del one["why"], one["role"]
    assert "speed" in kept["steps"][9]["written"]
    draft.write_text(json.dumps(kept), encoding="utf-8")
    again = plan_repair()
    assert again.draft.steps[9].raw("gun_speed") == "0.5 m/s" and not again.errors
    assert again.draft.written() == form.draft.written() and again.draft.written()["format"] == 2
    assert Draft.of_state(again.draft.state).written() == form.draft.written()
