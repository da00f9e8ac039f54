"""The set tasks and their judge: the best that was found holds, what is wrong is told, another repair is refused."""

import re

import numpy as np
import pytest

from coursekit import repair
from coursekit.quantities import InputError
from coursekit.repair import judging, timetable
from coursekit.repair.cautioning import NOT_CLEARANCE
from tests.test_cautions import leave
from tests.test_garage import permissions


@pytest.fixture(scope="module", params=judging.NAMES)
def task(request):
    return next(one for one in judging.tasks() if one.name == request.param)


def test_the_best_that_was_found_holds_and_is_as_far_from_itself_as_nothing(task):
    found = judging.judge(task, task.best())
    assert found.holds and not found.fails and found.beyond == 0
    assert found.best.of(task.damage.wish.least) > 0, "else no plan could be told from a worse one"
    assert "as good as the best" in found.text()


def test_the_best_that_was_found_is_the_damage_of_its_task(task):
    recipe, asked = task.best().recipe, task.begun()
    assert recipe.garage == asked.garage
    assert {key: recipe.panel["damage"][key] for key in judging.GIVEN} == {
        key: asked.panel["damage"][key] for key in judging.GIVEN
    }


def test_it_keeps_the_hours_of_its_task(task):
    spells = timetable.joined(task.damage.hours)
    for row in timetable.of(task.best()).rows:
        assert row.waits or any(
            first - 60 <= row.begins % timetable.WEEK and row.ends % timetable.WEEK <= last + 60
            for first, last in spells
        )


def test_the_solutions_differ():
    laid = [tuple(dict.fromkeys(s.brings for s in t.best().recipe.steps if s.brings)) for t in judging.tasks()]
    assert len(set(laid)) == len(laid)
    assert laid[0][0] == "filler" and "filler" not in laid[1] and laid[2] == ()


def test_a_task_is_told_in_words_without_leave(task):
    for system in ("metric", "us"):
        said = task.brief(system)
        assert "Wanted: " in said and "You work " in said and not permissions(said)


@pytest.mark.parametrize("system", ["metric", "us"])
def test_a_judgement_is_no_clearance_and_speaks_the_units_asked_for(task, system):
    """Whether it holds or fails: its last line clears nothing, and what is sprayed has its caution."""
    best = task.best()
    worse = [best.recipe.written["step"][number - 1] for number in (1, 2)]
    for played in (best, repair.loads(_toml({**best.recipe.written, "step": worse}))):
        found = judging.judge(task, played)
        lines = list(found.lines(system))
        assert lines[-1] == NOT_CLEARANCE and any(line.startswith("Caution – ") for line in lines)
        sprays = any(step.do == "spray" for step in found.played.recipe.steps)
        assert any("supplied air only" in line for line in lines) is sprays
        assert not any(permissions(line) or leave(line) for line in lines)
        if system == "us":
            assert not re.search(r"\d\s(µm|mm|mL|°C)\b", found.text(system)), found.text(system)
        sprays_well = sprays and found.holds
        assert ("of clear where it is thinnest" in found.text(system)) is sprays_well


# Of each task a plan that holds and takes more, and one that fails: step, its entry, what is written there in each.
WORSE = {
    "door": ((18, "time", "94 min"), (13, "strokes", "900")),
    "bonnet": ((16, "left", "80 mL"), (12, "time", "20 s")),
    "tailgate": ((1, "time", "20 min"), (5, "time", "4 min")),
}


def test_a_middling_plan_comes_after_the_best_and_a_bad_one_last(task):
    """Blocked through, hardly scuffed, polished too deep: each is told with its step or its figure."""
    best = task.best()
    middling, bad = (
        judging.judge(task, best.recipe.changed("step", number, key, to=text))
        for number, key, text in WORSE[task.name]
    )
    found = [judging.judge(task, best), middling, bad]
    assert sorted(found, key=lambda one: (not one.holds, one.value)) == found
    assert middling.holds and middling.beyond > 0.02 and "more than the best" in middling.text(), middling.text()
    assert not bad.holds and "does not hold" in bad.text() and "not compared" in bad.text()
    told = {"door": "broken through the surfacer", "bonnet": "step 12", "tailgate": "of clear are left"}
    assert told[task.name] in " ".join(bad.fails), bad.fails


def polished(*steps):
    """The tailgate's best plan with other steps."""
    return judging.judge(
        "tailgate", repair.loads(_toml({**judging.tasks()[2].best().recipe.written, "step": list(steps)}))
    )


def test_a_scratch_that_is_polished_out_slowly_or_not_at_all_or_too_deep_is_told():
    wash, *_, medium, fine, wiped = judging.tasks()[2].best().recipe.written["step"]
    best = polished(*judging.tasks()[2].best().recipe.written["step"])
    slower = polished(*best.played.recipe.written["step"][:-1], {"do": "wait", "time": "10 min"}, wiped)
    assert slower.holds and slower.beyond == pytest.approx(600 / best.value, rel=1e-6)
    assert "42 min, 32% more than the best plan that was found (32 min)" in slower.text()
    shallow = polished(wash, {**fine, "time": "20 s"}, wiped)
    assert shallow.fails == (
        "only 0.93 µm of clear came off over the scratch, which is 0.004 mm deep: it is still there",
    )
    deep = polished(wash, {**medium, "time": "3 min"}, {**fine, "time": "3 min"}, wiped)
    assert deep.fails == (
        "over the scratch: 20.6 µm of clear are left; less than 35.6 µm keeps too little ultraviolet out: "
        "clear again.",
    )
    quicker = polished(wash, {**fine, "time": "100 s"}, wiped)
    assert quicker.holds and "well done" in quicker.text()


def test_spraying_where_nothing_may_be_sprayed_fails():
    """A scratch in the clear, polished out; who sprays there without extraction has failed whatever it looks like."""
    written = judging.tasks()[2].best().recipe.written
    steps = [*written["step"], {"do": "clean"}, {"do": "spray", "material": "clear", "area": "all"}]
    found = judging.judge("tailgate", repair.loads(_toml({**written, "step": steps})))
    assert not found.holds and any("nothing is sprayed there" in line for line in found.fails)


def test_another_repair_is_refused():
    with pytest.raises(InputError, match="another repair"):
        judging.judge("door", repair.demo_path())
    with pytest.raises(InputError, match="task"):
        judging.judge("roof", repair.demo_path())
    for hands in (-1, 101, True, 1.5):
        with pytest.raises(InputError, match="number of hands"):
            judging.judge("door", repair.demo_path(), hands=hands)


def test_work_at_night_fails():
    recipe = judging.tasks()[2].best().recipe.changed("start", "at", to="23:00")
    found = judging.judge("tailgate", recipe)
    assert not found.holds and any("nobody works then" in line for line in found.fails)


def test_hands_are_counted():
    found = judging.judge("tailgate", judging.tasks()[2].best(), hands=2)
    assert found.hands == 2 and found.held == 2 and np.isfinite(found.value)


def _toml(tables):
    from coursekit.repair.writing import recipe_text

    return recipe_text(tables)
