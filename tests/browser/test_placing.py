"""A plan by keyboard: the damage placed while answers draw it where it was; what keys run through is sent in time."""

import pytest
from playwright.sync_api import expect

from coursekit import panel
from coursekit.lesson.draw.panel_place import panel_drawing
from coursekit.lesson.screen import page as screen

pytestmark = pytest.mark.browser
AT = 0.4, 0.65, 0.3, 0.42  # m
CHOICES = "".join(f"<option>{name}</option>" for name in ("door", "front wing", "bonnet", "roof"))
SIDES = "".join(f'<div class="ck-place-{side}"><input value=""></div>' for side in "xy")
FIELDS = f'<select class="kind">{CHOICES}</select>{SIDES}<button>go</button>'


def drawn(place, system="metric"):
    return str(panel_drawing(panel.door(), place, [], system, "the panel"))


@pytest.fixture
def placing(page):
    """A page with drawing and fields alone; `placing.redraw` is what an answer of the kernel does."""
    page.set_content(f'<div class="ck-bench ck-plan">{FIELDS}<div class="ck-place">{drawn(AT)}</div></div>')
    page.evaluate("() => { window.told = []; document.addEventListener('change', e => told.push(e.target.value)); }")
    page.evaluate("() => document.querySelector('button').addEventListener('click', () => told.push('go'))")
    page.evaluate(screen.script())
    page.locator(".ck-place").focus()
    page.redraw = lambda place: page.evaluate("html => document.querySelector('.ck-place').innerHTML = html", place)
    return page


def fields(page):
    return [page.locator(f".ck-place-{side} input") for side in "xy"]


def test_no_key_is_lost_while_an_earlier_answer_draws_the_old_place(placing):
    for _ in range(3):
        placing.keyboard.press("ArrowRight")
        placing.redraw(drawn(AT))  # an answer to what was entered before
    placing.keyboard.press("Shift+ArrowUp")
    placing.redraw(drawn(AT))
    along, up = fields(placing)
    expect(along).to_have_value("430 mm")
    expect(up).to_have_value("350 mm")
    placing.redraw(drawn(AT))  # still an earlier one
    placing.keyboard.press("ArrowRight")
    expect(along).to_have_value("440 mm")


def test_once_the_answer_shows_it_the_drawing_leads_again(placing):
    placing.keyboard.press("ArrowRight")
    along, _ = fields(placing)
    expect(along).to_have_value("410 mm")
    placing.redraw(drawn((0.41, 0.66, 0.3, 0.42)))
    placing.wait_for_timeout(50)
    placing.redraw(drawn((0.6, 0.85, 0.3, 0.42)))  # moved elsewhere since
    placing.wait_for_timeout(50)
    placing.keyboard.press("ArrowRight")
    expect(along).to_have_value("610 mm")


def test_a_place_typed_by_hand_is_not_put_back(placing):
    placing.keyboard.press("ArrowRight")
    along, _ = fields(placing)
    expect(along).to_have_value("410 mm")
    along.press_sequentially("7")
    placing.redraw(drawn((0.7, 0.95, 0.3, 0.42)))
    placing.wait_for_timeout(50)
    placing.locator(".ck-place").focus()
    placing.keyboard.press("ArrowRight")
    expect(along).to_have_value("710 mm")


def test_choices_that_keys_run_through_are_not_sent_but_the_one_where_they_rest(placing):
    placing.locator(".kind").focus()
    placing.keyboard.press("ArrowDown")
    placing.keyboard.press("ArrowDown")
    placing.wait_for_function("() => told.length")
    assert placing.evaluate("() => told") == ["bonnet"]
    placing.locator(".kind").select_option("roof")  # as a pointer does: at once
    assert placing.evaluate("() => told") == ["bonnet", "roof"]


def test_a_press_does_not_overtake_what_keys_have_chosen_or_placed(placing):
    placing.keyboard.press("ArrowRight")
    placing.keyboard.press("Shift+Tab")
    placing.keyboard.press("Space")
    assert placing.evaluate("() => told") == ["410 mm", "300 mm", "go"]
    placing.locator(".kind").focus()
    placing.keyboard.press("ArrowDown")
    placing.keyboard.press("ArrowDown")
    placing.evaluate("() => { document.querySelector('.kind').selectedIndex = 0; }")  # an answer to an earlier entry
    placing.locator("button").click()
    assert placing.evaluate("() => told")[3:] == ["bonnet", "go"]
