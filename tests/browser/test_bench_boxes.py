"""Each bench – heading, sentence, controls, picture – in one view at 1280 × 800, with Lab's file browser open.

The page's own style and the bench's own HTML are laid out in Chromium; boxes of the height that the style gives them
stand in for ipywidgets' sliders and fields. No Lab and no kernel: all benches in one pass.
"""

import json

import pytest

from coursekit import lesson
from coursekit.lesson.screen import page as pieces
from tests.test_bench import KEYS

pytestmark = pytest.mark.browser
VIEW = 668  # px of a notebook that Lab leaves of a window 800 high
COLUMN = 836  # px that the file browser leaves of a window 1280 wide
# Higher than the view, with the height each may have: to be made lower, never higher.
TALL = {
    "door-film": 940,
    "find-setting": 920,
    "neighbour": 880,
    "what-went-wrong": 830,
    "mix": 810,
    "guide-coat": 750,
    "two-repairs": 750,
}
LAMP = ("look by", "its lines run", "move the light")
BOXES = """() => [...document.querySelectorAll('.ck-bench')].map(box =>
    Math.round(box.querySelector('.ck-beside').getBoundingClientRect().bottom - box.getBoundingClientRect().top))"""


def line(label, slider):
    return pieces.tag(
        "div",
        pieces.tag("div", pieces.tag("span", label, class_="ck-label"), class_="widget-html"),
        pieces.tag("div", class_="widget-slider", style="height:28px") if slider else "",
        pieces.tag("div", class_="widget-text", style="height:28px"),
        class_="ck-control",
        style="display:flex",
    )


def buttons(*words):
    return pieces.tag(
        "div",
        *(pieces.tag("button", one, class_="jupyter-button") for one in words),
        class_="ck-line",
        style="display:flex",
    )


def laid_out(bench):
    """A bench as `workbench/view.py` builds it."""
    shown = [key for key, said in bench.controls.items() if not said.seldom]
    left = [line(bench.label(key, unit=True), bench.slider(key)) for key in shown]
    left += [buttons("More settings")] if len(shown) < len(bench.controls) else []
    left += [*(line(label, False) for label in LAMP), buttons("Wet the panel")] if bench.lamp else []
    left.append(buttons(*([bench.press] if bench.press else []), "Pin this setting", "Unpin", "Reset"))
    return pieces.tag(
        "div",
        pieces.tag("h4", bench.title),
        pieces.paragraph(bench.about) if bench.about else "",
        bench.words_html,
        pieces.tag("div", pieces.tag("div", *left), pieces.tag("div", bench.picture_html), class_="ck-beside"),
        class_="ck-bench",
        style=f"width:{COLUMN}px;box-sizing:border-box",
    )


def test_every_bench_is_in_one_view(chromium, shots):
    drawn = pieces.together([laid_out(lesson.bench(key)) for key in KEYS])
    opened = chromium.new_context(viewport={"width": COLUMN + 40, "height": 800}).new_page()
    font = "<style>body{font:14px/1.5 sans-serif;--jp-content-font-size1:14px}</style>"
    opened.set_content(f"<html><head>{pieces.style()}{font}</head><body>{drawn}</body></html>", timeout=120_000)
    found = dict(zip(KEYS, opened.evaluate(BOXES), strict=True))
    (shots / "boxes.json").write_text(json.dumps(found, indent=0), encoding="utf-8")
    opened.context.close()
    high = {key: height for key, height in found.items() if height > TALL.get(key, VIEW)}
    assert not high, f"higher than the view: {high}"
    low = [key for key in TALL if found[key] <= VIEW]
    assert not low, f"fits now, take it from the list: {low}"
