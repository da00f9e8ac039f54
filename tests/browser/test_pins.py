"""Lesson 08 in the browser: a setting typed as at the gun, pinned under a name, kept over a restart, saved."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.test_lab import SLOW, box, bring, end_of, kernel_is_idle, menu, open_notebook, run_all

pytestmark = pytest.mark.browser


def test_settings_are_pinned_compared_and_kept_over_a_restart(page, lab, look):
    open_notebook(page, lab, "08-what-if.ipynb")
    run_all(page, end_of(page))
    outfit = bring(box(page, "Your gun, paint, hand and panel"))
    expect(outfit).to_contain_text("1.6 mm")
    look(page, "outfit-1280.png")
    bench = bring(box(page, "What if I turned the air down?").first)
    words = bench.locator(".ck-words")
    bench.get_by_role("textbox", name="name", exact=True).fill("low air")
    bench.get_by_role("button", name="Pin under this name").click()
    expect(bench.get_by_role("row", name=re.compile("^low air"))).to_be_visible()
    air = bench.get_by_role("textbox", name="air at the gun (bar)")
    air.fill("20 PSI")
    air.press("Enter")
    expect(air).to_have_value(re.compile("1.379 bar"))
    distance = bench.get_by_role("textbox", name="gun distance (mm)")
    distance.fill("6-8 in")
    distance.press("Enter")
    expect(bench.get_by_role("alert")).to_contain_text('the middle: "7 in"')
    distance.fill('7"')
    distance.press("Enter")
    expect(words).to_contain_text("One coat lays")
    expect(bench.get_by_role("alert")).to_have_count(0)
    expect(bench.get_by_role("row", name=re.compile("^low air"))).to_contain_text("better in")
    look(page, "what-if-1280.png")
    bring(bench.get_by_role("button", name="Save as CSV")).click()
    expect(bench).to_contain_text("what-if.csv")
    look(page, "pins-1280.png")
    assert (lab.home / "what-if.csv").read_text(encoding="utf-8").startswith("setting,")
    menu(page, "Kernel", "Restart Kernel and Run All Cells…")
    page.locator(".jp-Dialog").get_by_text("Restart", exact=True).click()
    again = box(page, "What if I turned the air down?").first
    expect(again.get_by_role("row", name=re.compile("^low air"))).to_be_visible(timeout=SLOW)
    end_of(page).wait_for(state="attached", timeout=SLOW)
    kernel_is_idle(page)
