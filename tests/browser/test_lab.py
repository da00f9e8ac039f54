"""What a learner does in the browser: run, drag by keyboard, answer, restart, come back."""

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser


def open_notebook(page, lab, name):
    page.goto(lab.url(name))
    page.locator(".jp-NotebookPanel:visible .jp-Cell").first.wait_for()
    expect(page.locator("#jp-main-statusbar")).to_contain_text("| Idle")


def run_all(page):
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.get_by_role("menuitem", name="Run All Cells", exact=True).click()


def bench_of(page, title):
    return page.locator(".ck-bench", has=page.get_by_role("heading", name=title))


def test_slider_by_keyboard_changes_picture_and_sentence(page, lab, shots):
    open_notebook(page, lab, "01-film.ipynb")
    run_all(page)
    bench = bench_of(page, "From wet film to dry film")
    handle = bench.locator(".noUi-handle").first
    handle.wait_for()
    expect(handle).to_have_attribute("aria-label", "wet film (µm)")
    words, picture = bench.locator(".ck-words"), bench.locator(".ck-picture")
    expect(words).to_contain_text("120 µm wet leaves 54 µm dry")
    before = picture.inner_html()
    handle.focus()
    page.keyboard.press("ArrowRight")
    expect(words).to_contain_text("125 µm wet leaves 56.3 µm dry")
    assert picture.inner_html() != before
    expect(bench.get_by_role("status")).to_contain_text("125 µm wet leaves")
    page.keyboard.press("PageUp")
    expect(words).to_contain_text("150 µm wet")
    page.keyboard.press("Home")
    expect(words).to_contain_text("10 µm wet")
    page.keyboard.press("End")
    expect(words).to_contain_text("300 µm wet")
    bench.screenshot(path=shots / "bench-film.png")
    page.screenshot(path=shots / "film-1280.png")
