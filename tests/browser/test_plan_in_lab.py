"""An own damage by keyboard alone, from the first cell to the printed sheet; and many hands, run and stopped."""

import re
import time

import pytest
from playwright.sync_api import expect

from coursekit import repair
from coursekit.repair import damage
from tests.browser.test_lab import SLOW, VIEW, box, bring, end_of, kernel_is_idle, open_notebook, run_all

pytestmark = pytest.mark.browser
PICKED = """() => {
    const at = document.activeElement;
    return at.options[at.selectedIndex].text.replace(/\u00a0/g, ' ');
}"""
FOCUSED = "() => (document.activeElement.getAttribute('aria-label') || document.activeElement.textContent).trim()"
KEPT = "the focus stays where it is"


def tab(page, name, most=150):
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


class Entries:
    """What a learner enters: a text written, a choice made, a button pressed, a damage placed."""

    def __init__(self, page):
        self.page, self.count, self.began = page, 0, time.monotonic()

    def __call__(self, work, *what):
        self.count += 1
        work(self.page, *what)


def place(page, *keys):
    """Tab to the drawing and move the damage."""
    tab(page, "place of the damage: move it with the arrow keys")
    for key in keys:
        page.keyboard.press(key)


def into_the_form(page, lab):
    """From the first cell on, as a learner does, to the form."""
    open_notebook(page, lab, "24-plan-a-repair.ipynb")
    for _ in range(page.locator(".jp-Notebook .jp-Cell").count()):
        active = page.locator(".jp-Notebook .jp-mod-active .jp-InputArea-editor").first
        last = "plan_repair" in active.inner_text()
        page.keyboard.press("Shift+Enter")
        if last:
            break
    plan = page.locator(".ck-plan")
    expect(plan.get_by_role("textbox", name="name of the repair")).to_be_visible(timeout=SLOW)
    kernel_is_idle(page)
    page.keyboard.press("ArrowUp")  # back to the cell of the form, and into it
    return plan


WIDER = """() => {
    const plan = document.querySelector('.ck-plan'), right = plan.getBoundingClientRect().right + 1;
    return [...plan.querySelectorAll('*')]
        .filter(node => node.getClientRects().length && !node.closest('.ck-status') && !node.closest('svg'))
        .filter(node => node.getBoundingClientRect().right > right || (node.scrollWidth > node.clientWidth + 1
                && node.clientWidth && getComputedStyle(node).display != 'inline' && node.tagName != 'INPUT'))
        .map(node => `${node.tagName} ${node.className} ${node.textContent.slice(0, 50)}`);
}"""
NAMELESS = """() => [...document.querySelectorAll('.ck-plan :is(input, select, button, [tabindex])')]
    .filter(node => node.getClientRects().length)
    .filter(node => !(node.getAttribute('aria-label') || node.textContent).trim())
    .map(node => node.outerHTML.slice(0, 90))"""
CLIPPED = """() => [...document.querySelectorAll('.ck-plan select')].filter(node => node.getClientRects().length)
    .map(node => {
        const pen = document.createElement('canvas').getContext('2d');
        pen.font = getComputedStyle(node).font;
        const words = node.selectedIndex < 0 ? '' : node.options[node.selectedIndex].text;
        return [pen.measureText(words).width + 36 - node.clientWidth, words];
    }).filter(([over]) => over > 0)"""


def nothing_is_cut(page):
    assert page.evaluate(WIDER) == [] and page.evaluate(CLIPPED) == [] and page.evaluate(NAMELESS) == []


def test_from_an_empty_notebook_to_a_printed_sheet_by_keyboard_alone(page, lab, look):
    plan = into_the_form(page, lab)
    nothing_is_cut(page)
    top, foot = (
        plan.get_by_role("textbox", name="name of the repair"),
        plan.get_by_role("button", name="Propose a plan"),
    )
    bring(plan)
    low = foot.bounding_box()
    assert low["y"] + low["height"] - top.bounding_box()["y"] <= VIEW, "the questions are in one view"
    entries = Entries(page)
    entries(write, "name of the repair", "Bonnet, scratched")
    entries(choose, "kind of panel", "bonnet")
    entries(write, "how long it is", "7 in")
    entries(write, "how wide it is", "40 mm")
    entries(write, "how deep it is", "none")
    expect(plan.get_by_role("alert").first).to_contain_text("does not begin with a number", timeout=SLOW)
    look(page, "plan-refused-1280.png")
    page.keyboard.press("Control+a")
    page.keyboard.type("0 mm")
    page.keyboard.press("Enter")
    entries.count += 1
    entries(choose, "it reaches down to", "primer")
    entries(place, "ArrowRight", "ArrowRight", "Shift+ArrowUp")
    expect(plan.get_by_role("textbox", name="from the front edge")).to_have_value("480 mm", timeout=SLOW)
    entries(choose, "aim", "least paint")
    entries(press, "Propose a plan")
    expect(plan.get_by_role("status").filter(has_text="…").first).to_be_visible(timeout=SLOW)
    expect(plan.locator(".ck-steps")).to_contain_text("go on", timeout=SLOW)
    expect(plan.locator(".ck-words").first).to_contain_text("says go on", timeout=SLOW)
    kernel_is_idle(page)
    nothing_is_cut(page)
    number = plan.locator(".ck-steps tr", has_text="block P320").get_by_role("button").first.inner_text()
    entries(choose, "step", f"{number} · block P320")
    expect(plan.locator(".ck-words").first).to_contain_text(f"After step {number}, block P320", timeout=SLOW)
    entries(write, "strokes over each spot", "30")
    expect(plan.locator(".ck-kept").first).to_contain_text("This change: ", timeout=SLOW)
    bring(plan.locator(".ck-steps"))
    look(page, "plan-changed-1280.png")
    entries(press, "Propose this step again")
    expect(plan.get_by_role("textbox", name="strokes over each spot")).not_to_have_value("30", timeout=SLOW)
    expect(plan.locator(".ck-words").first).to_contain_text("Every one of", timeout=SLOW)
    kernel_is_idle(page)
    entries(press, "Keep this plan beside")
    expect(plan.get_by_role("row", name=re.compile("^A: Bonnet, scratched"))).to_be_visible(timeout=SLOW)
    entries(press, "Save the plan")
    expect(plan.get_by_role("status").filter(has_text="Saved")).to_contain_text("bonnet-scratched.toml", timeout=SLOW)
    entries(press, "Write the sheet")
    expect(plan.get_by_role("status").filter(has_text="The sheet is kept in")).to_be_visible(timeout=SLOW)
    tab(page, "Save the sheet from this page")
    took = time.monotonic() - entries.began
    print(f"{entries.count} entries, {took:.0f} s")
    assert entries.count == 16
    saved = lab.home / "repairs" / "bonnet-scratched.toml"
    sheet = next((lab.home / "sheets").glob("*bonnet-scratched.html"))
    assert sheet.read_text(encoding="utf-8") == repair.job_sheet(saved)
    asked = damage.load(lab.home / "damages" / "bonnet-scratched.toml")
    assert asked.panel.kind == "bonnet" and asked.wish.least == "paint" and asked.damage.reaches == "primer"
    assert asked.corner[0] == pytest.approx(0.48) and asked.damage.width == pytest.approx(0.1778)
    page.set_viewport_size({"width": 1024, "height": 768})
    page.wait_for_function("() => innerWidth == 1024")
    page.keyboard.press("Control+b")  # without the file browser
    expect(page.locator(".jp-FileBrowser")).to_be_hidden()
    bring(plan)
    low = foot.bounding_box()
    assert low["y"] + low["height"] - top.bounding_box()["y"] <= VIEW - (800 - 768)
    bring(plan.locator(".ck-steps"))
    look(page, "plan-1024.png")
    nothing_is_cut(page)


def test_many_hands_run_with_progress_and_stop_keeps_what_is_done(page, lab, look):
    open_notebook(page, lab, "17-whole-repair.ipynb")
    run_all(page, end_of(page))
    hands = bring(box(page, "One repair, many hands"))
    expect(hands.get_by_role("combobox", name="how many hands")).to_have_value("100")
    hands.get_by_role("button", name="Run").focus()
    page.keyboard.press("Space")
    count = hands.get_by_role("status").filter(has_text="of 100")
    expect(count).to_have_text(re.compile(r"^[1-9]\d? of 100, about \d+ s to go$"), timeout=SLOW)
    first = int(count.inner_text().split()[0])
    expect(count).not_to_have_text(re.compile(f"^{first} of "), timeout=SLOW)
    look(page, "hands-running-1280.png")
    hands.get_by_role("button", name="Stop").focus()
    page.keyboard.press("Space")
    said = hands.locator(".ck-words")
    expect(said).to_contain_text(re.compile(r"\d+ of 100 hands that vary by 15"), timeout=SLOW)
    done = int(re.search(r"(\d+) of 100 hands", said.inner_text())[1])
    assert first < done < 100, "what is done is kept, and no further hand is begun"
    expect(hands.locator("svg").first).to_be_visible()
    expect(hands.get_by_role("row", name=re.compile("^time "))).to_be_visible()
    look(page, "hands-stopped-1280.png")
