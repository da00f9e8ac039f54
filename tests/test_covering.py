"""Areas of a plan: what filler, tape and gun cover is checked against the damage before anything is done."""

from types import SimpleNamespace

import pytest

from coursekit import repair
from coursekit.repair.covering import areas

DEMO = repair.load(repair.demo_path())


def found(recipe):
    return list(areas(SimpleNamespace(recipe=recipe)))


def step_of(recipe, do, nth=0):
    return [step for step in recipe.steps if step.do == do][nth].number


def test_the_demo_covers_what_it_means_to():
    assert not found(DEMO)


@pytest.mark.parametrize("start", ["200 mm", "700 mm"])
def test_a_damage_that_moved_away_from_its_rectangles_is_told(start):
    """Filler and masks kept their places; only the damage was moved."""
    told = found(DEMO.changed("panel", "damage", "x", to=start))
    assert [one for one in told if one.against and "filler leaves" in one.text()]
    assert step_of(DEMO, "fill") in told[0].steps


def test_anchored_filler_covers_a_damage_wherever_it_is():
    anchored = DEMO.changed("step", step_of(DEMO, "fill"), "area", to={"around": "damage", "by": "80 mm"})
    for start in ("200 mm", "420 mm", "700 mm"):
        told = found(anchored.changed("panel", "damage", "x", to=start))
        assert not [one for one in told if "filler" in one.text()]


def test_tape_over_the_damage_is_told_with_its_share():
    small = {"x": "420 mm", "y": "470 mm", "width": "150 mm", "height": "160 mm"}
    number = step_of(DEMO, "mask")
    told = [one for one in found(DEMO.changed("step", number, "open", to=small)) if one.steps == (number,)]
    assert len(told) == 1 and told[0].against and "50 %" in told[0].text().replace("\u202f", " ")


@pytest.mark.parametrize(("width", "against"), [("600 mm", False), ("200 mm", True)])
def test_spraying_on_tape_is_a_note_and_mostly_on_tape_a_problem(width, against):
    number = step_of(DEMO, "mask")
    opened = {"x": "230 mm", "y": "330 mm", "width": width, "height": "440 mm"}
    told = [one for one in found(DEMO.changed("step", number, "open", to=opened)) if len(one.steps) == 2]
    assert told and told[0].against is against and "under tape" in told[0].text()


def test_an_area_far_past_the_panel_is_told_and_stops_nobody():
    place = {"x": "900 mm", "y": "300 mm", "width": "500 mm", "height": "300 mm"}
    number = step_of(DEMO, "guide coat")
    told = [one for one in found(DEMO.changed("step", number, "area", to=place)) if one.steps == (number,)]
    assert len(told) == 1 and not told[0].against and "past the panel" in told[0].text()
