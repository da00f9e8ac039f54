"""Widgets of what left the page are closed: a session of a day must not fill the kernel with them."""

import gc

import ipywidgets as w
import pytest

from coursekit import lesson
from coursekit.lesson.learner import unit_system
from coursekit.lesson.plan.form import PlanForm
from coursekit.lesson.plan.view import PlanView
from coursekit.lesson.repair.view import RepairView
from coursekit.lesson.screen.widgets import closed
from coursekit.lesson.teaching.view import WallView
from coursekit.lesson.workbench.view import BenchView


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))


def living():
    """How many widgets ipywidgets holds, and how many views follow the choice of units."""
    gc.collect()
    return len(w.widgets.widget._instances), len(unit_system._VIEWS)


def wall():
    view = WallView(lesson.wall("01-film", 45))

    def turn(number):
        view._go(view.wall.next if number % 2 else view.wall.back)
        view.reveal()
        view._go(view.wall.back if number % 2 else view.wall.next)

    return turn


def repair():
    view = RepairView(lesson.play_repair())

    def turn(number):
        for step in (3, 4):
            view.step.value = step

    return turn


def plan():
    form = PlanForm()
    form.begin(next(name for name in form.starts() if "demo" in name))
    view = PlanView(form)

    def turn(number):
        for step in (1, 2, 3):
            view._pick(step)

    return turn


def bench():
    lesson.units("metric")
    view = BenchView(lesson.bench("film"))

    def turn(number):
        for system in ("us", "metric"):
            lesson.units(system)
            assert view.fields

    return turn


@pytest.mark.parametrize("page", [wall, repair, plan, bench])
def test_six_changes_leave_no_widget_and_no_view_behind(page):
    turn = page()
    turn(0)
    before = living()
    for number in range(6):
        turn(number)
    assert living() == before


def test_what_is_closed_is_closed_with_all_that_stands_in_it():
    before = living()
    row = w.HBox([w.VBox([w.Text(), w.FloatSlider()]), w.HTML()])
    assert living()[0] == before[0] + 5 + 5 + 3  # each with its layout, text, slider and HTML with a style as well
    closed(row)
    assert living() == before
    closed(row)  # once more does no harm
