"""The set tasks and their judge: the best that was found holds, what is wrong is told, another repair is refused."""

import numpy as np
import pytest

from coursekit import repair
from coursekit.quantities import InputError
from coursekit.repair import judging, timetable
from tests.test_garage import permissions


@pytest.fixture(scope="module", params=judging.NAMES)
def task(request):
    return next(one for one in judging.tasks() if one.name == request.param)


def test_the_best_that_was_found_holds_and_is_as_far_from_itself_as_nothing(task):
    found = judging.judge(task, task.best())
    assert found.holds and not found.fails and found.beyond == 0
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


def test_what_fails_is_told_with_its_step():
    task = judging.tasks()[1]
    recipe = task.best().recipe
    number = next(step.number for step in recipe.steps if step.do == "machine sand")
    found = judging.judge("bonnet", recipe.changed("step", number, "time", to="20 s"))
    assert not found.holds and f"step {number}" in " ".join(found.fails) and "does not hold" in found.text()
    assert "not compared" in found.text()


def test_what_holds_and_takes_more_is_told_by_how_much():
    best = judging.tasks()[0].best()
    wait = next(one for one in best[8:] if one.step.do == "wait")
    longer = best.recipe.changed("step", wait.step.number, "time", to=f"{wait.used.time / 60 + 60:.0f} min")
    found = judging.judge("door", longer)
    assert found.holds and found.value == pytest.approx(found.best.of("hours") + 3600, abs=60)
    assert "more than the best" in found.text()


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
