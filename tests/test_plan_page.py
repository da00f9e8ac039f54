"""What is asked, proposed and changed on the page of a plan: an own damage, its plan, and plans beside each other."""

import copy
import tomllib

import pytest
from markupsafe import escape

from coursekit import lesson, outfit, repair, spraying
from coursekit.__main__ import main as command_line
from coursekit.garage import cautions
from coursekit.lesson.learner import unit_system
from coursekit.lesson.pages import measurement_form
from coursekit.lesson.plan import overview
from coursekit.lesson.plan.draft import Draft
from coursekit.lesson.plan.form import NEW, PlanForm
from coursekit.lesson.plan.questions import GROUPS, TINS, asked_in, usual
from coursekit.lesson.plan.view import PlanView
from coursekit.repair import damage, judging
from coursekit.repair.cautioning import NOT_CLEARANCE, caution_topics
from coursekit.repair.sheet_packs import shopping
from coursekit.repair.words import reason_words
from coursekit.repair.writing import damage_text
from tests.damages import DAMAGES, HEAD
from tests.test_cautions import leave


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))
    return tmp_path


def scratched():
    """A key scratch in the clear of a tailgate: polished out, so that its plan is short."""
    form = PlanForm().name("Tailgate").pick("panel").set(shape="tailgate")
    return form.pick("damage").set(width="200 mm", height="20 mm", low="4 µm", down_to="clear")


@pytest.fixture(scope="module")
def planned(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("COURSEKIT_HOME", str(tmp_path_factory.mktemp("planned")))
        yield scratched().propose(hands=1)


def again(form):
    """Another form with the same answers and steps."""
    made = PlanForm()
    made.draft, made.good, made.proposal = copy.deepcopy(form.draft), form.good, form.proposal
    return made.name("Tailgate")


# --- the gun ---


def test_a_plan_takes_a_gun_that_is_kept_with_what_was_measured_with_it():
    mine = {"gun_inlet_pressure": "2 bar", "fan_opening": "100 %"}
    outfit.keep(spraying.Gun("spare", tip_bore="1.8 mm", turns=1.5, **mine))
    outfit.keep(spraying.Gun("my gun", tip_bore="1.3 mm", turns=2, **mine))
    assert not measurement_form.enter("delivery", {"paint": "45, 44, 46", "time": "15"}).contradiction
    form = PlanForm()
    assert form.guns[:2] == ("my gun", "spare") and form.draft.given["gun"].raw("tip_bore") == "1.3 mm"
    assert form.draft.given["gun"].raw("fluid_delivery").startswith("179."), "45 mL in 15 s are 180 a minute"
    assert form.draft.rest["measurement"][0]["way"] == "delivery"
    form.take_gun("spare")
    assert form.draft.given["gun"].raw("tip_bore") == "1.8 mm" and form.draft.given["gun"].raw("turns") == "1.5"
    assert not form.draft.given["gun"].raw("fluid_delivery") and "measurement" not in form.draft.rest
    assert "spare is in use" in form.notice.text and outfit.load().gun.name == "spare"
    form.undo()
    assert form.draft.given["gun"].raw("tip_bore") == "1.3 mm" and form.draft.rest["measurement"]
    assert form.take_gun("nobody's").refused and outfit.load().gun.name == "spare"
    view = PlanView(form)
    assert view.guns.layout.display == "none"
    view.group.value = "Gun"
    view.gun.value = "my gun"
    view.guns.children[1].click()
    assert view.guns.layout.display == "" and form.draft.given["gun"].raw("tip_bore") == "1.3 mm"


# --- what is asked ---


def test_nothing_need_be_answered_and_nothing_is_planned_before_it_is_asked():
    form = lesson.plan_repair()
    assert not form.errors and form.played is None and "No step yet" in form.words
    assert form.draft.damage() == damage.loads("format = 1")
    assert form.sheet() is None and "no step yet" in form.refused


@pytest.mark.parametrize("name", DAMAGES)
def test_a_damage_is_read_by_the_form_as_by_the_command_line_and_written_again(name):
    text = HEAD + DAMAGES[name] + '[[hours]]\nday = "Saturday"\nfrom = "09:00"\nto = "12:00"\n'
    text += '[[hours]]\nday = "Saturday"\nfrom = "13:00"\nto = "18:00"\n'
    draft = Draft.of_damage(tomllib.loads(text))
    assert draft.damage() == damage.loads(text)
    assert damage.loads(damage_text(draft.asked())) == damage.loads(text)
    assert draft.given["hours"].raw("Saturday") == "09:00 to 12:00, 13:00 to 18:00"


@pytest.mark.parametrize(
    ("system", "hood", "wing"),
    [("metric", "bonnet", "front wing"), ("us", "hood (bonnet)", "front fender (front wing)")],
)
def test_a_panel_is_found_under_the_name_that_its_reader_knows(system, hood, wing):
    unit_system.choose(system)
    view = PlanView(PlanForm().pick("panel"))
    names = {kind: said for said, kind in view.questions.fields["shape"].options}
    assert (names["bonnet"], names["front wing"], names["door"]) == (hood, wing, "door")
    view.questions.fields["shape"].value = "bonnet"
    assert view.form.draft.damage().panel.kind == "bonnet" and not view.form.wrong("shape", "panel")


def test_reasons_stand_in_the_units_of_their_reader():
    reason = "filler ends 5 mm beyond the paint, 250 mm from the tape; P80 stays"
    assert reason_words(reason) == reason
    assert reason_words(reason, "us") == "filler ends 0.2 in beyond the paint, 9.8 in from the tape; P80 stays"


@pytest.mark.parametrize("system", ["metric", "us"])
def test_every_question_has_an_answer_in_grey_and_round_in_either_system(system):
    draft = Draft.of_damage({})
    for group in GROUPS:
        for one in asked_in(group, TINS[0]):
            assert usual(draft, one.part, one.key, system), one
    shown = {key: usual(draft, "damage", key, system) for key in ("width", "height")}
    metric, us = {"width": "250 mm", "height": "150 mm"}, {"width": "about 10 in", "height": "about 6 in"}
    assert shown == (us if system == "us" else metric)


def test_stock_and_hours_are_lists_and_a_bad_one_waits():
    form = PlanForm().pick("stock").set(papers="P80, P180", tools="hand block")
    assert [str(one) for one in form.draft.damage().stock.papers] == ["P80", "P180"]
    form.set(papers="P80, sandpaper")
    assert "is not a grade" in form.wrong("papers") and not form.stuck
    assert [str(one) for one in form.good.draft.damage().stock.papers] == ["P80", "P180"], "what stood there counts"
    form.pick("hours").set(Saturday="9:00 to 8:00")
    assert "ends at 08:00, not after it begins" in form.wrong("Saturday") and "write 20:00" in form.wrong("Saturday")
    form.set(Saturday="18:00 to 01:00")
    assert "13:00" not in form.wrong("Saturday") and "00:00 to 01:00" in form.wrong("Saturday")
    form.set(Saturday="9 to five")
    assert '"9 am to 5 pm"' in form.wrong("Saturday")


def test_hours_are_written_as_a_clock_shows_them_and_the_other_days_are_then_free():
    form = PlanForm().pick("hours")
    assert usual(form.draft, "hours", "Monday", "us") == "any hour"
    form.set(Saturday="9 am to 12:30 p.m., 1pm - 5:30 PM", Sunday="12 am to 12 pm")
    found = [(one.day, one.begins / 3600, one.ends / 3600) for one in form.draft.damage().hours]
    assert found == [(5, 9.0, 12.5), (5, 13.0, 17.5), (6, 0.0, 12.0)]
    assert usual(form.draft, "hours", "Monday", "us") == "no hours"


def test_where_only_paint_is_hurt_no_depth_is_a_scratch_and_a_depth_is_a_dent():
    form = PlanForm().pick("damage").set(down_to="primer")
    assert usual(form.draft, "damage", "low", "us") == "none: a scratch" and form.draft.damage().reaches == "primer"
    form.set(low="1/8 in")
    assert form.draft.damage().reaches == "bare" and form.draft.written()["panel"]["damage"]["low"] == "3.175 mm"


def test_a_field_waits_for_another_and_the_rest_is_played():
    form = PlanForm().begin("the demo, in a hurry")
    form.pick("surfacer").set(ratio="3:1:0.5")
    assert "waits" in form.wrong("ratio") and "density" in form.wrong("ratio")
    form.pick("garage").set(humidity="61 %")
    assert form.recipe.garage["humidity"] == pytest.approx(0.61)
    assert form.recipe.materials["surfacer"]["ratio"] != "3:1:0.5"
    form.pick("surfacer").set(densities="1.4 kg/L, 1.0 kg/L, 0.9 kg/L")
    assert not form.errors and form.recipe.materials["surfacer"]["ratio"] == "3:1:0.5"


# --- what is proposed ---


def test_what_is_proposed_is_what_stands_in_the_form_and_every_step_says_why(planned):
    assert planned.proposal.holds and planned.recipe.steps == planned.proposal.plan.recipe.steps
    assert planned.recipe.panel == planned.proposal.plan.recipe.panel
    assert all(step.why for step in planned.draft.steps) and planned.proposed_for_this
    assert "hands that vary by 15%" in str(overview.summary(planned))


def test_the_shopping_list_is_read_for_the_whole_repair_and_with_what_there_is(planned):
    form = again(planned).pick("stock").set(papers="P2000", buy="yes")
    rows = {row[0]: row[1:3] for row in shopping(form.played, form.draft.damage().stock)}
    assert rows["paper P2000"] == ("1 × sheet", "have it") and rows["paper P1500"] == ("1 × sheet", "1 × sheet")
    drawn = str(overview.shopping(form))
    assert drawn.startswith("<details>") and drawn.count("have it") == 1 and all(what in drawn for what in rows)
    assert PlanView(form).shopping.value == drawn and drawn in overview.html(form)


def test_what_must_not_be_breathed_is_told_and_no_step_is_made():
    form = PlanForm().pick("garage").set(spray_at="home").propose(hands=1)
    assert form.played is None and "no supplied air" in str(overview.summary(form))
    assert "under Garage" in str(overview.summary(form)) and "spray_at" not in str(overview.summary(form))
    view = PlanView(form)
    assert view.results.layout.display == "" and "No plan is made" in view.summary.value


def test_a_search_is_stopped_and_what_stands_stays():
    form = scratched()
    form.told.append(form.search.stop)
    form.propose(hands=1)
    assert "Stopped" in form.notice.text and form.played is None


def test_a_damage_that_the_old_steps_do_not_fit_is_what_the_next_plan_is_for(planned):
    form, asked = PlanForm().pick("panel").set(shape="tailgate").pick("damage").set(low="0 mm", down_to="primer"), []
    form.search.find = lambda damage, hands=1: asked.append(damage) or planned.proposal
    form.add("clean").add("hand sand").set(tool="soft pad", paper="P320", force="15 N", strokes="60", area="all")
    form.add("clean").add("spray").set(material="surfacer", area="all")
    assert not form.errors
    form.pick("damage").set(down_to="bare sheet")
    assert form.errors and form.good.draft.damage().damage.reaches == "primer", "no surfacer goes on bare metal"
    form.propose(hands=1)
    assert [one.damage.reaches for one in asked] == ["bare"]


def test_a_search_beside_the_page_hands_its_plan_over():
    form, shares = scratched(), []
    form.told.append(lambda: shares.append(form.search.share))
    form.search.find = lambda damage, hands=1: repair.propose(damage, 1, form.search._tell)
    form.start_proposal()
    form.search.wait()
    assert form.proposal.holds and len(shares) > 2 and form.draft.steps


def test_a_search_that_ends_at_once_leaves_no_bar_on_the_page():
    form, running = scratched(), []
    form.search.find = lambda damage: repair.propose(damage, 1, lambda *_: False)
    form.watchers.append(lambda: running.append(form.search.running))
    form.start_proposal()
    form.search.wait()
    assert running and not running[-1], "what is handed over is drawn while its thread still ends"


# --- what is changed ---


def test_a_change_is_told_with_its_cost_undone_and_done_again(planned):
    form = again(planned).pick(1)
    before = form.table.raw("time")
    form.set(time="50 min")
    assert "This change: +40 min work" in str(overview.change(form))
    form.undo()
    assert form.table.raw("time") == before
    form.redo()
    assert form.table.raw("time") == "50 min"
    form.undo().set(wipes="2")
    assert not form.redone, "what was undone is gone once something else is done"


def test_one_step_is_proposed_again_and_the_others_stay(planned):
    form = again(planned)
    number = next(n for n, step in enumerate(form.draft.steps, 1) if "paper" in step.written)
    was = form.draft.steps[number - 1].raw("force")
    form.pick(1).set(wipes="5").pick(number).set(force="11 N")
    form.propose_step(hands=1)
    assert form.table.raw("force") == was and form.draft.steps[0].raw("wipes") == "5"


def test_areas_hang_on_the_damage_and_move_with_it(planned):
    form = again(planned)
    step = next(step for step in form.recipe.steps if getattr(step, "area", None))
    place, x = step.area, form.recipe.panel["damage"]["x"]
    form.pick("damage").set(x=f"{x + 0.05:.6g} m")
    assert form.recipe.steps[step.number - 1].area[0] == pytest.approx(place[0] + 0.05)
    assert form.table_of(step.number).raw("area") == "around" and not form.proposed_for_this
    assert "for other answers" in str(overview.summary(form))


def test_plans_stand_beside_each_other_and_come_back(planned):
    form = again(planned).keep_beside()
    form.pick(1).set(wipes="9").keep_beside()
    assert [one.name[0] for one in form.beside] == ["A", "B"]
    told = str(overview.beside(form))
    assert told.count("<tr>") == 4 and "here" in told
    form.take_beside("A")
    assert form.draft.steps[0].raw("wipes") != "9"
    form.let_go("A")
    assert [one.name[0] for one in lesson.plan_repair().beside] == ["B"], "they are kept over a restart"
    assert "is not kept" in form.take_beside("A").refused


# --- files ---


def test_answers_and_plan_are_saved_and_opened_and_proposed_by_the_command_line(planned, own_folder, capsys):
    form = again(planned)
    path = form.save()
    asked = own_folder / "damages" / "tailgate.toml"
    assert path == own_folder / "repairs" / "tailgate.toml" and damage.load(asked) == form.draft.damage()
    opened = PlanForm().begin("tailgate")
    assert opened.saved and opened.draft.planned and opened.recipe.steps == form.recipe.steps
    said = [[(step.why, step.role) for step in one.draft.steps] for one in (form, opened)]
    assert said[0] == said[1] and all(why and role for why, role in said[1])
    opened.pick(2).add("wait")
    assert not opened.saved and opened.save() == path and opened.saved
    with_own = PlanForm().begin("tailgate").draft.steps
    assert [step.why for step in with_own] == [*(why for why, _ in said[0][:2]), "", *(why for why, _ in said[0][2:])]
    path.unlink()
    alone = PlanForm().begin("tailgate")
    assert not alone.draft.steps and alone.draft.damage() == form.draft.damage()
    assert command_line(["propose", str(asked), "--hands", "1"]) == 0
    said = capsys.readouterr().out
    assert "Tailgate" in said and all(f"{what} | 1 × sheet | 1 × sheet" in said for what in ("paper P1500", "P2000"))
    assert alone.begin(NEW).draft.title == "A repair"


def test_the_page_is_drawn_in_both_systems_and_says_where_the_damage_lies():
    form = PlanForm().pick("panel").set(shape="front wing").pick("damage").set(x="700 mm", y="200 mm")
    for system, words in (("metric", "700 mm"), ("us", "27.6 in")):
        unit_system.choose(system)
        drawn = str(overview.place(form))
        assert words in drawn and "ck-place-damage" in drawn and "ck-gone" in drawn
    form.set(x="9 m")
    assert form.wrong("x") and "ck-place-damage" in str(overview.place(form)), "where it was"


@pytest.mark.parametrize("task", judging.NAMES)
def test_a_set_task_begins_with_its_damage_and_a_wrong_plan_is_told(task):
    form = PlanForm().begin(f"set task: {task}")
    given = next(one for one in judging.tasks() if one.name == task)
    assert form.draft.damage() == given.damage and given.brief() in str(overview.task(form)).replace("&#39;", "'")
    assert "no step yet" in form.judge().refused
    form.add("clean").judge()
    assert not form.judgement.holds and "nothing is sanded" in str(overview.task(form))
    form.set(wipes="3" if form.table.raw("wipes") != "3" else "2")
    assert "changed since it was judged" in str(overview.task(form))


def test_the_plan_that_was_found_for_a_task_is_judged_to_hold():
    form = PlanForm().begin("set task: tailgate")
    best = next(one for one in judging.tasks() if one.name == "tailgate").best().recipe
    form.draft.steps = Draft.of(best.written).steps
    form.name("As found").judge()
    assert form.judgement.holds and "as good as the best plan" in str(overview.task(form))


@pytest.mark.parametrize("which", ["scratch", "bonnet"])
def test_a_plan_that_holds_is_no_clearance_and_has_the_cautions_of_its_work(which, planned):
    """Nothing found against it, every verdict says go on: that is when a page is read as a permission."""
    form = again(planned) if which == "scratch" else lesson.plan_repair(judging.tasks()[1].best().recipe)
    assert not form.played.not_yet and not any(one.against for one in form.found)
    asked = set(caution_topics(form.played))
    assert ("isocyanate" in asked) is (which == "bonnet") and "dust" in asked
    wanted = [NOT_CLEARANCE, *(cautions(topic)[0].text for topic in asked)]
    for told in (form.words, str(overview.care(form)), str(overview.html(form))):
        assert all(str(escape(one)) in told or one in told for one in wanted)
        assert not leave(told)
    assert NOT_CLEARANCE in str(overview.summary(form))
    assert PlanView(form).care.value == overview.care(form)
