"""Each bench – heading, sentence, controls, picture – in one view at 1280 × 800, with Lab's file browser open, and
without it at 1024 × 768 and on a projector.

All benches stand in one notebook of a real Lab and are measured where they are drawn.
"""

import json

import nbformat
import pytest
from playwright.sync_api import expect

from tests.browser.test_lab import VIEW, open_notebook, run_all
from tests.test_bench import KEYS

pytestmark = pytest.mark.browser
BOXES = """() => [...document.querySelectorAll('.ck-bench:has(.ck-beside)')].map(box =>
    Math.round(box.querySelector('.ck-beside').getBoundingClientRect().bottom - box.getBoundingClientRect().top))"""
SMALLER = (1024, 768, 1), (1280, 720, 1.5)  # the second is 1920 × 1080 at 150 %
VIEWED = "() => Math.round(document.querySelector('.jp-NotebookPanel .jp-WindowedPanel-outer').clientHeight)"


def test_every_bench_is_in_one_view(page, lab, shots):
    sources = [f'from coursekit import lesson\nlesson.bench("{key}")' for key in KEYS]
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(one) for one in sources])
    notebook.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3", "language": "python"}
    nbformat.write(notebook, lab.root / "notebooks" / "all-benches.ipynb")
    open_notebook(page, lab, "all-benches.ipynb")
    run_all(page, page.locator(".ck-bench:has(.ck-beside)").nth(len(KEYS) - 1))
    page.wait_for_function(f"() => document.querySelectorAll('.ck-bench .ck-picture svg').length >= {len(KEYS)}")
    found = dict(zip(KEYS, page.evaluate(BOXES), strict=True))
    (shots / "boxes.json").write_text(json.dumps(found, indent=0), encoding="utf-8")
    assert page.evaluate(VIEWED) >= VIEW
    high = {key: height for key, height in found.items() if height > VIEW}
    page.keyboard.press("Control+b")  # the others without the file browser
    expect(page.locator(".jp-FileBrowser")).to_be_hidden()
    screen = page.context.new_cdp_session(page)
    for width, height, scale in SMALLER:
        size = {"width": width, "height": height, "deviceScaleFactor": scale, "mobile": False}
        screen.send("Emulation.setDeviceMetricsOverride", size)
        page.wait_for_function(f"() => innerHeight == {height} && devicePixelRatio == {scale}")
        page.wait_for_timeout(500)  # drawn anew at that size
        view = page.evaluate(VIEWED)
        found = dict(zip(KEYS, page.evaluate(BOXES), strict=True))
        high |= {(key, width): box for key, box in found.items() if box > view}
    screen.send("Emulation.clearDeviceMetricsOverride")
    page.keyboard.press("Control+b")
    assert not high, f"higher than the view: {high}"
