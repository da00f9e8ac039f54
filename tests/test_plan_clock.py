"""The clock of a plan in its form: waits and start go with what is changed, and what was typed stays."""

import pytest

from coursekit.lesson.plan.draft import Draft
from coursekit.lesson.plan.entries import Table
from coursekit.lesson.plan.form import PlanForm
from coursekit.lesson.plan.overview import summary

DAMAGE = {
    "panel": {"kind": "plain panel", "width": "400 mm", "height": "300 mm"},
    "damage": {"width": "80 mm", "height": "60 mm", "depth": "0 mm", "reaches": "primer"},
    "garage": {
        "temperature": "20 °C",
        "spray_at": "home",
        "extraction": "yes",
        "supplied_air": "yes",
        "air_changes": "30 /h",
    },
    "hours": [
        {"day": "Saturday", "from": "09:00", "to": "18:00"},
        {"day": "Sunday", "from": "09:00", "to": "18:00"},
    ],
}
STEPS = (
    {"do": "clean"},
    {"do": "spray", "material": "surfacer", "area": "all", "coats": "2"},
    {"do": "wait", "time": "3.2 h"},
    {"do": "block", "tool": "hand block", "paper": "P320", "strokes": "10", "area": "all"},
)


@pytest.fixture
def form(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))
    made = PlanForm()
    draft = Draft.of_damage(DAMAGE)
    draft.steps = [Table.of(table["do"], table) for table in STEPS]
    for table in draft.steps:
        table.why = "proposed"
    made._take(draft)
    made._read()
    return made


def waits(form):
    return [table.raw("time") for table in form.draft.steps if table.kind == "wait"]


def hours(text):
    return float(text.removesuffix(" h"))


def test_a_colder_garage_has_a_longer_wait_and_undo_brings_the_old_one_back(form):
    (usual,) = waits(form)
    form.pick("garage").set(temperature="12 °C")
    (cold,) = waits(form)
    assert hours(cold) > 1.5 * hours(usual) and form.waits_anew == (3,)
    assert "The wait of step 3 is made anew for this change." in summary(form)
    assert form.recipe.steps[2].time == pytest.approx(hours(cold) * 3600)
    form.undo()
    assert waits(form) == [usual]


def test_a_wait_and_a_start_that_were_typed_stay(form):
    form.pick(3).set(time="5 h")
    form.pick("start").set(day="Sunday", at="09:30")
    form.pick("garage").set(temperature="15 °C")
    assert waits(form)[0] == "5 h"
    assert form.draft.given["start"].written == {"day": "Sunday", "at": "09:30"}


def test_shorter_hours_put_the_wait_into_the_night_and_longer_ones_take_it_out(form):
    (usual,) = waits(form)
    form.pick("hours").set(Saturday="09:00 to 10:30", Sunday="09:00 to 12:00")
    (night,) = waits(form)
    assert hours(night) > 20 and not form.unfit
    form.pick("hours").set(Saturday="09:00 to 18:00")
    assert waits(form) == [usual]


def test_hours_that_are_too_few_are_said_and_change_nothing(form):
    before = waits(form)
    form.pick("hours").set(Saturday="09:00 to 09:11", Sunday="")
    assert "at a stretch" in form.unfit and form.unfit in summary(form) and waits(form) == before


def test_a_break_after_a_typed_wait_comes_and_goes_with_the_hours(form):
    form.pick(3).set(time="3.3 h")
    form.pick("hours").set(Saturday="09:00 to 10:30", Sunday="09:00 to 12:00")
    assert waits(form)[0] == "3.3 h" and len(waits(form)) == 2 and hours(waits(form)[1]) > 15
    form.pick("hours").set(Saturday="09:00 to 18:00", Sunday="09:00 to 18:00")
    assert waits(form) == ["3.3 h"]


def test_what_is_picked_stays_picked_where_a_break_comes_before_it(form):
    form.pick(3).set(time="3.3 h")
    form.pick(4)
    block = form.table.id
    for day in ("Saturday", "Sunday"):
        form.draft.given["hours"].set(day, "09:00 to 10:30")
    form.settle()
    form.name("A card")
    assert form.table.id == block and form.number == 5


def test_no_plan_is_proposed_while_an_entry_it_rests_on_cannot_be_read(form):
    """It would be one for the depth that stood there before."""
    form.pick("damage").set(low="a lot")
    form.propose(hands=1)
    assert "how deep it is" in form.refused and "cannot be read" in form.refused and form.proposal is None
