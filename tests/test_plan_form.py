"""The plan of a whole repair: what is typed is kept, what cannot be is told and loses nothing, files are safe."""

import copy
import json
import os
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coursekit import lesson, repair
from coursekit.__main__ import main as command_line
from coursekit.lesson.learner import own, unit_system
from coursekit.lesson.pages import measurement_form
from coursekit.lesson.plan import overview, recipe_files
from coursekit.lesson.plan.draft import Draft
from coursekit.lesson.plan.editing import AGAIN, KINDS_OF_STEP
from coursekit.lesson.plan.entries import ASKED, GIVEN, SHEETS, Table, fields_of, words_of
from coursekit.lesson.plan.form import DEMOS, PlanForm
from coursekit.lesson.plan.questions import GROUPS, TINS
from coursekit.lesson.plan.view import PlanView
from coursekit.nomenclature import names
from coursekit.quantities import InputError, in_unit, read
from coursekit.repair.pricing import WARES
from coursekit.repair.steps import STEPS
from coursekit.repair.vocabulary import materials, tools
from coursekit.repair.writing import recipe_text
from tests.calls import refused
from tests.test_repair import CARD, HEAD

pytestmark = pytest.mark.usefixtures("rough")  # nothing is asked of the panel, but that it is played

MASK = '[[step]]\ndo = "mask"\nopen = { x = "60 mm", y = "60 mm", width = "100 mm", height = "80 mm" }\n'
# Coarse, and with few strokes: what is typed matters here, not what the panel makes of it.
ONE_OF_EACH = (
    HEAD.replace("10 mm", "20 mm")
    + CARD.replace("strokes = 200", "strokes = 20")
    + "\n"
    + MASK
    + """
[[step]]
do = "unmask"
[[step]]
do = "guide coat"
[[step]]
do = "hand sand"
paper = "P320"
strokes = 20
[[step]]
do = "machine sand"
paper = "P400"
time = "30 s"
[[step]]
do = "polish"
time = "10 s"
"""
)
MADE = repair.loads(ONE_OF_EACH, "card.toml")
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))
    return tmp_path


def card():
    return PlanForm(MADE)


def door():
    return PlanForm().begin(next(iter(DEMOS)))


def same(a, b):
    """Two recipes that mean the same repair, wherever their lines stand."""
    return [(s.do, s.settings) for s in a.steps] == [(s.do, s.settings) for s in b.steps] and all(
        getattr(a, part) == getattr(b, part)
        for part in ("title", "panel", "garage", "hand", "measured", "materials", "forecast", "gun", "cup", "prices")
    )


# --- a recipe written down ---


@pytest.mark.parametrize("which", ["door_repair", "impatient_repair"])
def test_recipe_written_down_is_read_as_the_same_repair(which):
    recipe = repair.load(repair.demo_path(which))
    assert same(repair.loads(recipe_text(recipe.written)), recipe)


@settings(max_examples=100, deadline=None)
@given(st.text(st.characters(codec="utf-8"), max_size=200))
def test_any_title_is_written_and_read(title):
    assert repair.loads(recipe_text({**MADE.written, "title": title})).title == title


def test_what_no_file_can_hold_is_told():
    with refused("file", "recipe"):
        recipe_text({**MADE.written, "title": "\ud800"})


# --- each entry of each part and step ---

DAMAGED = (0.1, 0.2, 0.06, 0.14)  # m: the damage of the card, and 80 mm around it, as far as the card goes
AROUND_IT = (0.02, 0.28, 0.0, 0.2)
# What is reckoned as something else: aluminium and old filler are like the sheet that the panel knows.
RECKONED = {
    ("area", "damage"): DAMAGED,
    ("area", "around"): AROUND_IT,
    ("open", "damage"): DAMAGED,
    ("open", "around"): AROUND_IT,
    ("sheet", "aluminium"): "steel",
    ("down_to", "old filler"): "bare sheet",
}
# Entries that stand only with others: what is written with them.
TOGETHER = {
    ("forecast", "coldest"): {"warmest": "30 °C"},
    ("forecast", "warmest"): {"coldest": "-30 °C"},
    ("panel", "line_height"): {"shape": "door"},
    ("cup", "bottom"): {"top": "60 mm", "height": "90 mm"},
    ("cup", "top"): {"bottom": "40 mm", "height": "90 mm"},
    ("cup", "height"): {"bottom": "40 mm", "top": "60 mm"},
}
# What the order of the steps speaks against.
OUT_OF_ORDER = {
    (6, "base"): "puts base over filler",
    (6, "clear"): "puts clear over filler",
    (8, "clear"): "puts clear over epoxy primer",
}


def other_texts(kind, key, table):
    """What may be written into an entry instead, each with what the recipe then holds."""
    one = fields_of(kind)[key]
    if one.reads == "choice":
        return [(option, RECKONED.get((key, option), option)) for option in one.of if option != "rectangle"][-2:]
    if one.reads == "grade":
        return [("P240", "P240"), ("p 240", "P240")]
    if one.reads == "block":
        return [("60 x 120 mm", (0.06, 0.12)), ("2.5 x 5 in", (0.0635, 0.127))]
    if kind == "price":
        kind = WARES[key].kind if key in WARES else "paper"
        amount = {"paint": "1 L", "length": "50 m"}.get(kind, "10 pieces")
        return [(f"14.5 per {amount}", 14.5)]
    if one.reads == "clock":
        return [("07:30", 27000.0)]
    if one.reads == "text":
        return [("2:1", "2:1")]
    if one.reads == "densities":
        return [("1.4 kg/L, 1.0 kg/L", (1400.0, 1000.0))]
    row = names()[one.of]
    present = float(read(table.raw(key), row.key)) if table.raw(key) else row.low + 0.05 * (row.high - row.low)
    if one.reads == "whole":
        return [(str(round(present) + 1), round(present) + 1)]
    new = present * (0.95 if present * 0.95 > row.low else 1.05) or row.low + 0.01 * (row.high - row.low)
    return [
        (f"{float(in_unit(new, row.key, system)):.9g} {row.unit(system)}".strip(), new)
        for system in (("metric", "us")[len(key) % 2],)
    ]


PARTS = [*GIVEN, *SHEETS, *range(1, len(MADE.steps) + 1)]
EACH = [
    pytest.param(part, key, id=f"{part if isinstance(part, str) else MADE.steps[part - 1].do}-{part}-{key}")
    for part in PARTS
    for key in fields_of(part if isinstance(part, str) else MADE.steps[part - 1].do)
    if "." not in key and key not in ("there", "begins", *ASKED.get(part, ()))
]


def test_each_kind_of_step_is_tried():
    assert {step.do for step in MADE.steps} == set(STEPS)


@pytest.mark.parametrize(("part", "key"), EACH)
def test_what_is_typed_is_in_the_file_and_comes_back(part, key, own_folder):
    form = card().pick(part)
    kind = form.table.kind
    words = fields_of(kind)[key].words
    assert words and "_" not in words
    for text, meant in other_texts(kind, key, form.table):
        form.pick(part).set(**TOGETHER.get((part, key), {}), **{key: text})
        if (part, text) in OUT_OF_ORDER:
            assert len(form.errors) == 1 and OUT_OF_ORDER[part, text] in form.errors[0]
            form.undo()
            continue
        assert not form.errors
        assert form.table.shown(key, "metric") == text == form.table.shown(key, "us"), "it stands as it was typed"
        path = form.save()
        assert path is not None, form.refused
        again = repair.load(path)
        assert same(again, form.recipe)
        held = held_by(again, part, key)
        if isinstance(meant, float | tuple):
            assert held == pytest.approx(meant, rel=1e-6)
        else:
            assert held == meant or str(held) == meant
        back = Draft.of(again.written)
        assert back.written() == form.draft.written() and not back.complaints
        form.undo()


def held_by(recipe, part, key):
    if isinstance(part, int):
        held = getattr(recipe.steps[part - 1], key)
        return (held.width, held.length) if key == "block" else held
    if part == "price":
        return recipe.prices[key].money
    if part == "damage":
        return recipe.panel["damage"][key]
    if part == "start":
        return WEEKDAYS[int(recipe.start // 86400)] if key == "day" else recipe.start % 86400
    return recipe.materials[part][key] if part in SHEETS else getattr(recipe, part)[key]


def test_areas_are_words_or_a_rectangle():
    form = card().pick(4)
    assert form.table.shown("area", "metric") == "all" and not form.table.uses("area.x")
    form.set(area="rectangle")
    assert form.table.shown("area.width", "metric") == "100 mm", "it begins as the damage"
    form.set(**{"area.width": "3 in", "area.x": "90"})
    assert form.recipe.steps[3].area == pytest.approx((0.09, 0.1662, 0.06, 0.14)) and not form.errors
    form.set(area="damage").set(area="rectangle")
    assert form.table.raw("area.width") == "3 in", "what was typed before is there again"
    unit_system.choose("us")
    assert form.table.shown("area.height", "us") == "3.15 in"
    form.set(**{"area.width": ""})
    assert form.wrong("area.width").startswith("is empty. Write down") and "such as" in form.wrong("area.width")
    form.set(**{"area.width": "30 mm", "area.x": "3 m"})
    assert "does not touch the panel" in form.errors[0] and "Step 4" in form.errors[0]


def test_plan_without_a_damage():
    form = PlanForm(repair.loads(HEAD + '[[step]]\ndo = "clean"\n'))
    assert form.draft.given["damage"].raw("there") == "no" and form.recipe.panel["damage"] is None
    form.pick("damage").set(there="yes", width="100 mm", height="80 mm", low="0.5 mm")
    assert not form.errors and form.recipe.panel["damage"]["low"] == pytest.approx(5e-4)
    middle = (form.recipe.panel["width"] or 0.3) / 2
    assert form.recipe.panel["damage"]["x"] + 0.05 == pytest.approx(middle), "where nobody says, in the middle"
    form.set(there="no")
    assert form.recipe.panel["damage"] is None and form.draft.given["damage"].raw("low") == "0.5 mm"


def test_forecast_and_cup_are_there_when_something_stands_in_them():
    form = card().pick("forecast").set(begins="07:30")
    assert form.recipe.forecast is None and not form.errors
    form.set(coldest="8 °C")
    assert len(form.errors) == 1
    assert form.errors[0].startswith("The forecast, “daytime high”: is missing. Write ")
    form.set(warmest="19")
    assert form.recipe.forecast["warmest"] == pytest.approx(292.15) and form.recipe.forecast["begins"] == 27000
    form.set(coldest="25 °C")
    assert "is above the day's warmest" in form.errors[0] and len(form.errors) == 1
    form.set(coldest="", warmest="").pick("cup").set(bottom="70 mm")
    assert "“inside height”: is empty" in form.errors[0]
    form.set(height="5 in")
    assert form.recipe.cup["height"] == pytest.approx(0.127) and form.recipe.forecast is None and not form.errors
    assert same(repair.load(form.save()), form.recipe)


def test_prices_are_the_learners_own_and_any_row_of_a_file_is_kept():
    text = ONE_OF_EACH + '\n[price]\nclear = "45 per 1 L"\n"paper P1000" = "9 per 10 sheets"\n'
    form = PlanForm(repair.loads(text)).pick("price").set(surfacer="30 per 1 kg", cloths="free")
    assert form.errors[0].startswith("Your prices, “cloths”: is not a price. Write what a pack costs you")
    form.set(cloths="")
    assert form.recipe.prices["surfacer"].money == 30 and form.recipe.prices["paper P1000"].pack == 10
    assert same(repair.load(form.save()), form.recipe)


def test_emptied_entry_has_its_default_again():
    form = card().pick(4).set(force="12 N").set(force="")
    step = form.recipe.steps[3]
    assert step.force == tools()[step.tool]["force"] and "force" not in form.table.written
    form.set(keep_off="20 mm").set(keep_off="")
    assert form.recipe.steps[3].keep_off is None


# --- what cannot be ---

BAD = [
    ("garage", "temperature", "warm"),
    ("garage", "temperature", "500 °C"),
    ("garage", "humidity", "wet"),
    ("garage", "length", "3 kg"),
    ("garage", "air_changes", "-1"),
    ("panel", "old_paint", "0,5 mm"),
    ("panel", "shape", "sunroof"),
    ("hand", "seed", "1.5"),
    ("measured", "wear_coefficient", "much"),
    ("surfacer", "ratio", "4;1"),
    ("surfacer", "densities", "1 kg/L"),
    ("surfacer", "recoat_until", "1 min"),
    ("clear", "isocyanate", "perhaps"),
    (1, "wipes", "two"),
    (4, "strokes", "many"),
    (4, "strokes", "nan"),
    (4, "paper", "320"),
    (4, "paper", ""),
    (4, "force", "9 t"),
    (4, "block", "big"),
    (4, "tool", "brick"),
    (4, "strokes", "1_000"),
    (8, "coats", "0"),
    (8, "coats", "99"),
    (8, "fluid_delivery", "5-6 oz/min"),
    (8, "gun_speed", "<b>fast</b>"),
    (8, "material", "glue"),
    (9, "time", ""),
    (9, "time", "x" * 500),
    (9, "time", "\ud800"),
]


@pytest.mark.parametrize(("part", "key", "text"), BAD, ids=[f"{p}-{k}-{t[:9]!r}" for p, k, t in BAD])
def test_a_bad_entry_is_one_complaint_with_its_field_and_remedy(part, key, text):
    form = card().pick(part)
    before, recipe = copy.deepcopy(form.draft.state), form.recipe.written
    others = {k: v for k, v in form.table.written.items() if k != key}
    form.set(**{key: text})
    assert len(form.errors) == 1, form.errors
    said = form.errors[0]
    field = fields_of(form.table.kind)[key].words.removeprefix("– ")
    assert f"“{field}”" in said and said.count(". ") >= 1, said
    where = f"Step {part}" if isinstance(part, int) else {**GIVEN, **SHEETS}[part][1:]
    assert where in said and form.wrong(key) and form.wrong(key) in said
    assert "do =" not in said and "[" not in said and "line " not in said, "no words of the file"
    assert form.recipe.written == recipe and not form.as_played and not form.stuck
    assert form.table.raw(key) == {"-1": "-1 /h"}.get(text, text), "it stays where it was typed"
    assert {k: v for k, v in form.table.written.items() if k != key} == others
    assert form.save() is None and field in form.refused and form.sheet() is None
    assert form.pick(part).undo().draft.state == before and not form.errors


def test_a_bare_number_has_the_unit_that_is_shown():
    form = card().pick("garage").set(temperature="21")
    assert not form.errors and form.table.raw("temperature") == "21 °C"
    assert form.recipe.garage["temperature"] == pytest.approx(294.15)
    unit_system.choose("us")
    form.set(temperature="68")
    assert not form.errors and form.table.raw("temperature") == "68 °F"
    assert form.recipe.garage["temperature"] == pytest.approx(293.15)


def test_complaint_gives_one_paragraph_each_and_other_changes_go_on():
    form = card().pick(4).set(strokes="many").pick("garage").set(temperature="hot", humidity="60 %")
    assert len(form.errors) == 2 and form.table.raw("humidity") == "60 %"
    assert form.errors_elsewhere == [form.errors[1]], "the other one stands beside its entry"
    form.set(temperature="18 °C").pick(4).set(strokes="300")
    assert not form.errors and form.recipe.garage["humidity"] == pytest.approx(0.6)
    assert form.recipe.steps[3].strokes == 300 and form.recipe.written["step"][3]["strokes"] == 300


def test_order_that_cannot_be_stays_in_the_form_until_it_is_mended():
    form = door().pick(11).set(time="30 min")
    assert form.errors[0].startswith("Step 14, block P320: sands the surfacer while it is still wet. ")
    assert 'Put a step "wait" of about' in form.errors[0]
    assert len(form.played) == 28 and form.table.raw("time") == "30 min"
    form.pick(13).add("wait").set(time="4 h")
    assert not form.errors and len(form.played) == 29


def test_mask_and_unmask_are_added_one_after_the_other():
    form = card().pick(7).add("mask")
    form.set(open="damage")
    assert "masks a masked panel" in form.errors[0], "there is a later mask"
    form.pick(9).add("unmask")
    assert not form.errors and [s.do for s in form.recipe.steps][7:10] == ["mask", "spray", "unmask"]


def test_setting_out_of_its_range_names_its_step():
    form = card().pick(4).set(force="900 N")
    assert form.errors == [
        "Step 4, block P180, “force of the hand”: 900 N is above the range where this holds, 0 to 500 N. "
        "Check the unit, or stay inside that range."
    ]
    form.set(force="500 N")
    assert not form.errors and form.recipe.steps[3].force == 500


# --- steps ---


@pytest.mark.parametrize("do", KINDS_OF_STEP)
def test_each_kind_of_step_can_be_added_before_and_after(do):
    for before in (False, True):
        form = card().pick(5).add(do, before=before)
        assert form.picked == (5 if before else 6) and form.table.kind == do
        assert not form.table.errors, "a new step is whole"
        form.undo()
        assert same_state(form, card()) and form.picked == 5


def same_state(a, b):
    return a.draft.state == b.draft.state


def test_steps_move_are_copied_and_taken_out():
    form = card()
    kinds = [table.kind for table in form.draft.steps]
    form.pick(5).move(-1)
    assert form.picked == 4 and [t.kind for t in form.draft.steps][3] == "clean"
    form.move(1).move(-99)
    assert form.picked == 1
    form.move(99)
    assert form.picked == len(kinds)
    while not same_state(form, card()):
        form.undo()
    form.pick(4).add(AGAIN).set(strokes="77")
    assert form.draft.steps[3].raw("strokes") == "20", "a copy of its own"
    form.remove()
    assert [table.kind for table in form.draft.steps] == kinds
    with refused("unknown", "step"):
        form.pick("garage").remove()
    for bad in (0, 99, True, None, "cellar", 1.5):
        with pytest.raises(InputError):
            form.pick(bad)
    with refused("choice", "step"):
        form.add("dance")
    with pytest.raises(InputError, match="There are: "):
        form.set(colour="red")
    alone = PlanForm(repair.loads(HEAD + '[[step]]\ndo = "clean"\n')).pick(1)
    with refused("count", "step"):
        alone.remove()
    with pytest.raises(InputError, match="nothing to undo"):
        alone.undo()


# --- files ---


def test_saved_opened_again_and_the_sheet_is_that_of_the_command_line(own_folder):
    form = door().name("My door").pick(16).set(force="4.5 lbf", strokes="500")
    path = form.save()
    assert path == own_folder / "repairs" / "my-door.toml" and form.saved and str(path) in form.words
    text = path.read_text(encoding="utf-8")
    assert 'force = "4.5 lbf"' in text and "strokes = 500" in text and 'title = "My door"' in text
    form.begin(next(iter(DEMOS)))
    assert not form.saved and "my-door" in form.starts()
    form.begin("my-door")
    assert form.saved and form.pick(16).table.raw("force") == "4.5 lbf"
    for system in ("metric", "us"):
        unit_system.choose(system)
        sheet = form.sheet()
        other = own_folder / f"{system}.html"
        assert command_line(["sheet", str(path), "-o", str(other), "--units", system]) == 0
        assert sheet.read_bytes() == other.read_bytes() and str(sheet) in form.notice.text
    assert len(list((own_folder / "sheets").glob("*.html"))) == 2, "an older sheet is never written over"


def test_another_file_is_written_over_only_when_asked(own_folder):
    (own_folder / "repairs").mkdir()
    other = own_folder / "repairs" / "a-card.toml"
    other.write_text("somebody's own", encoding="utf-8")
    form = card()
    assert form.save() is None and form.notice.kind == "taken" and "another name" in form.refused
    assert other.read_text(encoding="utf-8") == "somebody's own"
    assert form.save(over=True) == other and form.notice.kind == "done" and same(repair.load(other), form.recipe)
    form.pick(4).set(strokes="123")
    assert form.save() == other, "its own file it may write"
    other.write_text(other.read_text(encoding="utf-8") + "# a note of mine\n", encoding="utf-8")
    form.set(strokes="124")
    assert form.save() is None and "was changed since" in form.refused
    assert other.read_text(encoding="utf-8").endswith("# a note of mine\n")
    form.name("Another card")
    assert form.save() == own_folder / "repairs" / "another-card.toml"


def test_a_disk_that_fails_leaves_the_old_file(own_folder, monkeypatch):
    form = card()
    path = form.save()
    old = path.read_bytes()
    form.pick(4).set(strokes="321")

    def fail(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", fail)
    assert form.save() is None and "No space left" in form.refused and path.read_bytes() == old
    assert {p.name for p in path.parent.iterdir()} == {path.name, ".lock"}, "nothing half written lies about"
    assert form.table.raw("strokes") == "321"
    assert form.sheet() is None and "room" in form.refused
    monkeypatch.undo()
    monkeypatch.setenv("COURSEKIT_HOME", str(own_folder))
    assert form.save() == path


BROKEN = {
    "no TOML": ("format = 2\ntitle = ", "cannot be read as TOML"),
    "unknown key": (ONE_OF_EACH.replace("strokes = 20\n", "strocks = 20\n"), "line 31, step.4.strocks"),
    "wrong unit": (ONE_OF_EACH.replace('cell = "20 mm"', 'cell = "20 s"'), "line 6, panel.cell"),
    "bytes": (b"\xff\xfe\x00", "cannot be read as text"),
    "order": (ONE_OF_EACH.replace('time = "5 h"', 'time = "1 min"'), "step"),
}


@pytest.mark.parametrize("case", BROKEN)
def test_a_broken_file_is_told_and_the_form_keeps_what_it_has(case, own_folder):
    text, part = BROKEN[case]
    folder = own_folder / "repairs"
    folder.mkdir()
    data = text if isinstance(text, bytes) else text.encode()
    (folder / "broken.toml").write_bytes(data)
    form = card().pick(4).set(strokes="many")
    before, played, undone = copy.deepcopy(form.draft.state), form.played, len(form.undone)
    form.begin("broken")
    assert part in form.refused and form.refused.count("broken.toml") == 1, form.refused
    assert form.draft.state == before and form.played is played and len(form.undone) == undone
    assert form.table.raw("strokes") == "many" and (folder / "broken.toml").read_bytes() == data
    form.begin("not there")
    assert "There are: " in form.refused


@pytest.mark.parametrize("bad", [3, b"x", object(), "nowhere.toml", ["a"]])
def test_what_is_no_recipe(bad):
    with pytest.raises(InputError):
        lesson.plan_repair(bad)


def test_begin_again_comes_back_with_undo():
    form = door().pick(16).set(strokes="555")
    form.begin("the demo, in a hurry")
    assert len(form.draft.steps) == 15 and "Undo" in form.notice.text
    form.undo()
    assert form.pick(16).table.raw("strokes") == "555"


def test_a_restart_loses_nothing(own_folder):
    form = door().name("Mine").pick(16).set(strokes="500", force="strong")
    again = lesson.plan_repair()
    assert same_state(again, form) and again.errors == form.errors and "as you left it" in again.words
    again.pick(16).set(force="15 N")
    path = again.save()
    third = lesson.plan_repair()
    assert third.saved and third.kept.file == path and not third.errors
    for rubbish in (
        "{",
        "[]",
        '{"title": 3}',
        json.dumps({**third._state(), "steps": [{"do": "dance"}]}),
        json.dumps({**third._state(), "good": {"format": 1}}),
    ):
        (own_folder / recipe_files.DRAFT).write_text(rubbish, encoding="utf-8")
        assert lesson.plan_repair().draft.title == "A repair", "a new damage, when the draft is rubbish"


def test_two_pages_never_write_over_each_others_plan(own_folder):
    one = door().name("One")
    other = lesson.plan_repair()
    assert other.draft.title == "One", "as it was left"
    one.pick(16).set(strokes="501")
    other.pick(16).set(strokes="502")
    assert "Both are kept" in other.notice.text and "draft 2" in one.starts() and "draft 1" in other.starts()
    for strokes in ("503", "504"):
        one.set(strokes=strokes)
        other.name(f"Other {strokes}")
    assert not one.notice.text and not other.notice.text and len(recipe_files.drafts()) == 2
    left = lesson.plan_repair()
    assert left.draft.title == "Other 504", "the one that was worked on last"
    left.begin("draft 1")
    assert left.draft.title == "One" and left.pick(16).table.raw("strokes") == "504"
    left.set(strokes="505")
    one.set(strokes="506")
    assert "Both are kept" in one.notice.text and len(recipe_files.drafts()) == 3
    begun = lesson.plan_repair(one.save()).name("From a file")
    assert len(recipe_files.drafts()) == 4 and begun.draft.title == "From a file"
    (own_folder / "plan_draft-2.json").write_text("{}")
    assert "cannot be read" in begun.begin("draft 2").refused
    for number in range(2, recipe_files.MOST_DRAFTS + 1):
        (own_folder / f"plan_draft-{number}.json").write_text("{}")
    assert "the oldest, draft 1, gave way" in begun.name("No room").notice.text
    assert lesson.plan_repair().draft.title == "No room"


def test_names_of_files():
    assert recipe_files.file_name("Left door, 2024!") == "left-door-2024"
    assert recipe_files.file_name("../../etc/passwd") == "etc-passwd" and recipe_files.file_name("…") == "repair"
    assert len(recipe_files.file_name("x" * 500)) == 60 and recipe_files.file_name("Tür links") == "tür-links"
    assert recipe_files.file_name("Tu\N{COMBINING DIAERESIS}r") == "tür", "as some keyboards type it"
    assert recipe_files.file_name("\N{AUTOMOBILE}\N{VARIATION SELECTOR-16}") == "automobile"
    assert recipe_files.file_name("\N{AUTOMOBILE} Tür") == "tür"
    for reserved in ("Con", "nul", "COM1", "lpt\N{SUPERSCRIPT TWO}"):
        assert recipe_files.file_name(reserved) == f"{reserved.casefold()}-repair"
    assert len(recipe_files.file_name("\N{OLD PERSIAN SIGN A}" * 60).encode()) == 120


def test_a_file_of_another_system_stays_as_it_is_written(own_folder):
    """Line ends, a link and a long title."""
    form = card().name("x" * 200)
    path = form.save()
    there = own_folder / "elsewhere.toml"
    there.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    path.unlink()
    path.symlink_to(there)
    form = lesson.plan_repair().begin(path.stem)
    assert form.saved and form.pick(4).set(strokes="21").save() == path
    data = there.read_bytes()
    assert path.is_symlink() and b"21" in data and data.count(b"\r\n") == data.count(b"\n") > 20
    assert lesson.play_repair(path).recipe.title == "x" * 200


def test_what_was_measured_goes_into_a_plan_that_begins_with_the_demo():
    measurement_form.enter(
        "removal",
        {
            "film_before": "120 µm",
            "film_after": "112 µm",
            "grade": "P320",
            "strokes": "50",
            "force": "20 N",
            "block": "70 x 125 mm",
            "hardness": "clear",
        },
    )
    form = door()
    mine = own.garage_file().coefficients()
    found = [key for key in ("wear_coefficient", "size_exponent", "scratch_factor") if key in mine]
    assert found and all(form.recipe.measured[key] == pytest.approx(float(mine[key])) for key in found)


# --- units ---


def test_demo_is_shown_in_the_units_that_were_chosen_and_kept_as_it_is_written():
    form = door().pick(10)
    assert form.table.shown("fluid_delivery", "metric") == "240 mL/min"
    assert form.table.shown("fluid_delivery", "us") == "8.115 fl oz/min"
    assert form.table.shown("flash", "us") == "12 min" and form.table.shown("coats", "us") == "2"
    unit_system.choose("us")
    view = PlanView(form)
    assert (
        view.settings.fields["fluid_delivery"].value == "8.115 fl oz/min"
        and view.settings.fields["gun_speed"].value == "59.06 ft/min"
    )
    view.settings.fields["fan_width"].value = "10"
    assert form.table.raw("fan_width") == "10 in" and form.recipe.steps[9].fan_width == pytest.approx(0.254)
    assert form.recipe.written["step"][9]["fluid_delivery"] == "240 mL/min", "what was not typed is not rounded"
    assert " mil " in form.words and "µm" not in form.words


# --- widgets ---


def test_view_changes_what_it_says_and_never_builds_a_control_anew_while_a_value_changes():
    form = card()
    view = PlanView(form)
    assert view.title.value == "A card" and view.questions.fields["shape"].value == "test card"
    view.number.value = 4
    held, asked = dict(view.settings.fields), dict(view.questions.fields)
    before = view.picture.value
    view.settings.fields["strokes"].value = "many"
    assert "does not begin with a number" in view.settings.notes["strokes"].value
    assert "ck-error" in view.settings.fields["strokes"]._dom_classes
    assert view.settings.notes["strokes"].layout.display == ""
    view.settings.fields["strokes"].value = "40"
    assert view.settings.fields == held and view.questions.fields == asked, "the keyboard keeps its place"
    assert view.picture.value != before and form.recipe.steps[3].strokes == 40
    assert not view.settings.notes["strokes"].value and "This change: " in view.changed.value
    view.settings.fields["area"].value = "all"
    assert view.settings.rows["area.x"].layout.display == "none"
    assert view.settings.rows["overhang"].layout.display == "none"
    view.more_set.value = True
    assert view.settings.rows["overhang"].layout.display == ""
    view.map.value = "height"
    assert form.view == "height"
    view._go(1)
    assert view.number.value == 5 == form.picked
    view.kind.value = "wait"
    pressed(view, "Add wait after")
    assert form.picked == 6 and view.number.value == 6 and len(view.number.options) == 18
    for words in ("Earlier", "Later", "Remove", "Undo", "Redo", "Undo"):
        pressed(view, words)
    assert len(form.draft.steps) == 18
    view.title.value = "Door of my own"
    pressed(view, "Save the plan")
    assert "door-of-my-own.toml" in view.said.value and "door-of-my-own" in view.start.options
    pressed(view, "Write the sheet")
    assert "data:text/html;base64," in view.said.value
    assert "not in" not in view.said.value
    view.settings.fields["time"].value = "45 min"
    assert "What you changed since is not in door-of-my-own.toml yet." in view.said.value
    assert view.strip.value.count("<tr") == len(form.draft.steps) + 1
    view.start.value = "the demo, in a hurry"
    pressed(view, "Begin with it")
    assert form.draft.title == "The same door, in a hurry" and "Verdicts that stop it" in view.checks.value
    assert "Plan checks" in view.markup() and "step, and why" in view.markup()


def pressed(view, words):
    found = [one for one in widgets_of(view.box) if getattr(one, "description", "") == words]
    found[0].click()


def widgets_of(box):
    yield box
    for child in getattr(box, "children", ()):
        yield from widgets_of(child)


def test_file_that_is_taken_can_be_written_over_with_its_own_button(own_folder):
    (own_folder / "repairs").mkdir()
    (own_folder / "repairs" / "a-card.toml").write_text("another's", encoding="utf-8")
    view = PlanView(card())
    assert view.over.disabled
    pressed(view, "Save the plan")
    assert not view.over.disabled and "is in use" in view.said.value
    pressed(view, "Overwrite")
    assert view.over.disabled and "Saved" in view.said.value


def test_every_part_is_shown_in_both_systems_without_moving_anything():
    form = card()
    view = PlanView(form)
    before = copy.deepcopy(form.draft.state)
    for system in ("metric", "us"):
        unit_system.choose(system)
        for group in GROUPS:
            view.group.value = group
            assert form.draft.state == before and "nan" not in view.checks.value
            assert all(one.value is not None for one in view.questions.fields.values())
        for tin in TINS:
            view.tin.value = tin
        for number in range(1, len(MADE.steps) + 1):
            view.number.value = number
            assert form.draft.state == before
            assert all(one.value is not None for one in view.settings.fields.values())
    assert not form.undone, "nothing was changed by looking"


def test_text_is_escaped():
    view = PlanView(card())
    view.title.value = "<script>alert(1)</script>"
    view.number.value = 4
    view.settings.fields["paper"].value = "<img src=x>"
    everything = "".join(one.value for one in widgets_of(view.box) if type(one).__name__ == "HTML")
    assert "<script>alert" not in everything and "<img src=x>" not in everything


# --- whatever is done, in whatever order ---

TEXTS = [
    "",
    "many",
    "3 mil",
    "80 µm",
    "20",
    "2",
    "0",
    "-1",
    "1e9 m",
    "P320",
    "4:1",
    "12 °C",
    "54 °F",
    "2 h",
    "30 s",
    "0.3 m/s",
    "rectangle",
    "damage",
    "all",
    "yes",
    "no",
    "soft pad",
    "surfacer",
    "nan",
    "5 %",
    "20 N",
]
MOVE = st.one_of(
    st.tuples(st.just("set"), st.integers(0, 10**6), st.sampled_from(TEXTS)),
    st.tuples(st.just("pick"), st.integers(0, 10**6), st.none()),
    st.tuples(st.just("add"), st.integers(0, 10**6), st.sampled_from([AGAIN, *KINDS_OF_STEP])),
    st.tuples(st.just("remove"), st.just(0), st.none()),
    st.tuples(st.just("move"), st.integers(-3, 3), st.none()),
    st.tuples(st.just("back"), st.just(0), st.none()),
    st.tuples(st.just("save"), st.just(0), st.none()),
    st.tuples(st.just("broken"), st.just(0), st.none()),
    st.tuples(st.just("units"), st.integers(0, 1), st.none()),
)


def test_no_change_loses_anything(own_folder):
    (own_folder / "repairs").mkdir(exist_ok=True)
    (own_folder / "repairs" / "broken.toml").write_text("format = 2\ntitle =", encoding="utf-8")
    met = Counter()

    @settings(max_examples=15, deadline=None)
    @given(st.lists(MOVE, min_size=5, max_size=15))
    def walk(moves):
        form = card()
        view = PlanView(form)
        history = [copy.deepcopy(form.draft.state)]
        for what, number, text in moves:
            done_to(form, history, what, number, text)
            met.update(seen_sound(form, view, history, what))
        if form.undone:
            assert same_state(lesson.plan_repair(), form)

    walk()
    # It went where there is something to lose, and where something is told.
    assert met["sound"] > 20 and met["told"] and met["saved"] and met["fields"] > 100, met


def seen_sound(form, view, history, what):
    """After a move: the draft is that of the last change, the recipe is the draft, the page says both."""
    assert form.draft.state == history[-1], what
    if not form.errors:
        assert same(form.recipe, repair.loads(recipe_text(form.recipe.written)))
        assert form.recipe.written == form.draft.written() and form.played.recipe is form.recipe
    assert form.stuck or form.played is not None, "what can be played is played"
    assert all("do =" not in said and "  " not in said for said in form.errors)
    assert form.words and (not form.number or view.number.value == form.picked)
    shown = {k: f.value for k, f in view.settings.fields.items() if hasattr(f, "continuous_update")}
    table = form.draft.steps[view.number.value - 1]
    assert shown == {k: table.shown(k, unit_system.chosen()) for k in shown}, "the page says what the form says"
    yield "told" if form.errors else "sound"
    yield from ["fields"] * len(shown)
    if what == "save" and not form.errors:
        yield "saved"


def done_to(form, history, what, number, text):
    parts = [*form.draft.given, *range(1, len(form.draft.steps) + 1)]
    if what == "pick":
        form.pick(parts[number % len(parts)])
    elif what == "units":
        unit_system.choose(("metric", "us")[number])
    elif what == "save":
        form.save(over=True)
        assert bool(form.refused) == bool(form.errors)
    elif what == "broken":
        form.begin("broken")
        assert "TOML" in form.refused
    elif what == "back":
        if form.undone:
            form.undo()
            history.pop()
    else:
        before = copy.deepcopy(form.draft.state)
        undone = len(form.undone)
        try:
            if what == "set":
                keys = list(fields_of(form.table.kind))
                key = keys[number % len(keys)]
                others = {k: v for k, v in form.table.written.items() if k.partition(".")[0] != key.partition(".")[0]}
                form.set(**{key: text})
                assert {
                    k: v for k, v in form.table.written.items() if k.partition(".")[0] != key.partition(".")[0]
                } == others
            elif what == "add":
                form.add(text, before=bool(number % 2))
            elif what == "remove":
                form.remove()
            else:
                form.move(number)
        except InputError:
            assert form.draft.state == before
            return
        if len(form.undone) > undone:
            history.append(copy.deepcopy(form.draft.state))


# --- what stands in the form ---


def test_materials_of_the_form_are_those_of_a_recipe():
    assert set(SHEETS) == set(materials())


def test_a_bare_share_that_could_mean_two_things_is_asked_for():
    garage = Table("garage")
    garage.set("humidity", "0.4")
    assert "40 %" in garage.errors["humidity"] and garage.raw("humidity") == "0.4"
    garage.set("humidity", "40")
    assert not garage.errors and garage.written["humidity"] == "40 %"


@pytest.mark.parametrize(
    ("panel", "along", "up", "seen"),
    [
        ("door", "front", "bottom", "outside"),
        ("bonnet", "front", "left", "above"),
        ("roof", "front", "left", "above"),
        ("tailgate", "left", "bottom", "behind the car"),
        ("bumper", "left", "bottom", "facing it"),
    ],
)
def test_edges_are_called_as_they_lie_on_each_panel(panel, along, up, seen):
    """In the form's labels, its drawing, its errors and where sanding broke through."""
    form = PlanForm()
    form.pick("panel").set(shape=panel)
    kind = form.draft.panel_kind
    assert words_of("damage", "x", kind) == f"from the {along} edge"
    assert words_of("damage", "y", kind) == f"from the {up} edge"
    drawn = str(overview.place(form))
    assert seen in drawn and f"from the {along} edge" in drawn and f"from the {up} edge" in drawn
    form.pick("damage").set(x="far")
    assert any(f"from the {along} edge" in one for one in form.errors)
    edges = {line.name for line in form.good.draft.damage().shape.lines}
    assert f"{along} edge" in edges
