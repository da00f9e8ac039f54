"""The capstone by keyboard alone, from the first cell to the saved sheet; and many hands, run and stopped."""

import re

import pytest
from playwright.sync_api import expect

from coursekit import repair
from coursekit.repair.steps import Wait
from tests.browser.test_lab import SLOW, box, bring, end_of, kernel_is_idle, open_notebook, run_all

pytestmark = pytest.mark.browser
PICKED = """() => {
    const at = document.activeElement;
    return at.options[at.selectedIndex].text.replace(/\u00a0/g, ' ');
}"""
FOCUSED = "() => (document.activeElement.getAttribute('aria-label') || document.activeElement.textContent).trim()"
KEPT = "the focus stays where it is"


def tab(page, name, most=90):
    """Press Tab until the control of that name has the focus."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate(FOCUSED) == name:
            return
    raise AssertionError(f"Tab does not reach {name!r}; it ended at {page.evaluate(FOCUSED)!r}")


def write(page, name, text):
    """Tab to a field, write into it, and take it with Enter; the focus is still there."""
    tab(page, name)
    page.keyboard.press("Control+a")
    page.keyboard.type(text)
    page.keyboard.press("Enter")
    assert page.evaluate(FOCUSED) == name, KEPT


def press(page, name):
    """Tab to a button and press it; the focus is still there."""
    tab(page, name)
    page.keyboard.press("Space")
    assert page.evaluate(FOCUSED) == name, KEPT


def choose(page, name, words):
    """Tab to a drop-down and go down in it until it says so."""
    tab(page, name)
    for _ in range(80):
        if page.evaluate(PICKED) == words:
            return
        page.keyboard.press("ArrowDown")
    raise AssertionError(f"{name!r} does not come to {words!r}; it is at {page.evaluate(PICKED)!r}")


def test_whole_plan_by_keyboard_alone(page, lab, shots):
    open_notebook(page, lab, "24-plan-a-repair.ipynb")
    plan = page.locator(".ck-plan")
    cells = page.locator(".jp-Notebook .jp-Cell").count()
    for _ in range(cells):  # from the first cell on, as a learner does
        active = page.locator(".jp-Notebook .jp-mod-active .jp-InputArea-editor").first
        last = "plan_repair" in active.inner_text()
        page.keyboard.press("Shift+Enter")
        if last:
            break
    words = plan.locator(".ck-words")
    expect(words).to_contain_text("Every one of the 28 steps may go on", timeout=SLOW)
    kernel_is_idle(page)
    page.keyboard.press("ArrowUp")  # back to the cell of the form, and into it

    write(page, "name of the repair", "Gatepost, my door")
    write(page, "temperature", "warm")
    expect(plan.get_by_role("alert").first).to_contain_text('"warm" does not begin with a number')
    page.screenshot(path=shots / "plan-refused-1280.png")
    page.keyboard.press("Control+a")
    page.keyboard.type("64 °F")
    page.keyboard.press("Enter")
    expect(words).to_contain_text("The room holds 43.2 m³, at 17.8 °C.", timeout=SLOW)
    expect(plan.get_by_role("textbox", name="temperature")).to_have_value("64 °F", timeout=SLOW)

    choose(page, "look at", "step 14 · block P320")
    expect(words).to_contain_text("After step 14, block P320", timeout=SLOW)
    write(page, "strokes over each place", "250")
    write(page, "force of the hand", "4.6 lbf")
    write(page, "kept off the body line by", "1 in")
    expect(words).to_contain_text("After step 14, block P320", timeout=SLOW)
    choose(page, "new step", "wait")
    expect(plan.get_by_role("button", name="Add wait after")).to_be_visible(timeout=SLOW)
    press(page, "Add wait after")
    expect(words).to_contain_text("After step 15, wait", timeout=SLOW)
    write(page, "how long", "45 min")
    page.wait_for_timeout(500)
    kernel_is_idle(page)  # the wait is played
    expect(words).to_contain_text("29 steps", timeout=SLOW)
    press(page, "Remove")
    expect(words).to_contain_text("28 steps", timeout=SLOW)
    press(page, "Take back")
    expect(words).to_contain_text("29 steps", timeout=SLOW)
    bring(plan)
    page.screenshot(path=shots / "plan-1280.png")

    press(page, "Save the plan")
    status = plan.get_by_role("status").filter(has_text="Saved")
    expect(status).to_contain_text("gatepost-my-door.toml", timeout=SLOW)
    saved = lab.home / "repairs" / "gatepost-my-door.toml"
    recipe = repair.load(saved)
    text = saved.read_text(encoding="utf-8")
    assert recipe.title == "Gatepost, my door" and 'temperature = "64 °F"' in text and 'force = "4.6 lbf"' in text
    assert recipe.steps[13].strokes == 250 and recipe.steps[13].keep_off == pytest.approx(0.0254)
    assert isinstance(recipe.steps[14], Wait) and recipe.steps[14].time == 45 * 60

    choose(page, "begin with, or open", "the demo, in a hurry")
    press(page, "Begin with it")
    expect(words).to_contain_text("Not yet after steps", timeout=SLOW)
    choose(page, "begin with, or open", "gatepost-my-door")
    press(page, "Begin with it")
    expect(plan.get_by_role("textbox", name="name of the repair")).to_have_value("Gatepost, my door", timeout=SLOW)
    choose(page, "look at", "step 14 · block P320")
    expect(plan.get_by_role("textbox", name="strokes over each place")).to_have_value("250", timeout=SLOW)

    press(page, "Write the sheet")
    kept = plan.get_by_role("status").filter(has_text="The sheet is kept in")
    expect(kept).to_contain_text("gatepost-my-door.html", timeout=SLOW)
    tab(page, "Save the sheet from this page")
    sheet = next((lab.home / "sheets").glob("*gatepost-my-door.html"))
    assert sheet.read_text(encoding="utf-8") == repair.job_sheet(saved) and "Gatepost, my door" in sheet.read_text()
    bring(kept)
    page.screenshot(path=shots / "plan-saved-1280.png")


def test_many_hands_run_with_progress_and_stop_keeps_what_is_done(page, lab, shots):
    open_notebook(page, lab, "17-whole-repair.ipynb")
    run_all(page, end_of(page))
    hands = bring(box(page, "One repair, many hands"))
    expect(hands.get_by_role("combobox", name="how many hands")).to_have_value("100")
    hands.get_by_role("button", name="Play them").focus()
    page.keyboard.press("Space")
    count = hands.get_by_role("status").filter(has_text="of 100")
    expect(count).to_have_text(re.compile(r"^[1-9]\d? of 100, about \d+ s to go$"), timeout=SLOW)
    first = int(count.inner_text().split()[0])
    expect(count).not_to_have_text(re.compile(f"^{first} of "), timeout=SLOW)
    page.screenshot(path=shots / "hands-running-1280.png")
    hands.get_by_role("button", name="Stop").focus()
    page.keyboard.press("Space")
    said = hands.locator(".ck-words")
    expect(said).to_contain_text(re.compile(r"\d+ of 100 hands that stray by 15"), timeout=SLOW)
    done = int(re.search(r"(\d+) of 100 hands", said.inner_text())[1])
    assert first < done < 100, "what is done is kept, and no further hand is begun"
    expect(hands.locator("svg").first).to_be_visible()
    expect(hands.get_by_role("row", name=re.compile("^time "))).to_be_visible()
    page.screenshot(path=shots / "hands-stopped-1280.png")
