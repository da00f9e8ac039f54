"""From the hand on a slider to the changed picture, in a real JupyterLab in Chromium, on the map of the door.

Browser, server and kernel share this machine's cores. A slider that changes a number and a dot is measured beside the
door in the same run: the floor that Lab, its messages and painting put under every picture. *Key*: from the key's
event on the focused slider until the changed picture is decoded and a frame of it is shown. *Drag*: the pointer moves
with its button held; pictures shown in a second, and from the last move until the last picture. All times are the
page's own clock.
"""

import tempfile
from pathlib import Path

import nbformat
import numpy as np

from tests.benchmarks.timing import Figure
from tests.browser import serving

SLIDER = "gun speed"
DOOR = 'from coursekit import lesson\nlesson.bench("door-film")'
FLOOR = """import base64, ipywidgets as w
from coursekit.lesson.draw.colour_maps import map_png
dots = [base64.b64encode(map_png([[value]], 0, 1)).decode() for value in (0, 1)]
slider, picture = w.FloatSlider(min=0, max=100, step=1, value=50), w.HTML()
def show(change):
    dot = dots[round(slider.value) % 2]
    picture.value = f'<p>{slider.value:g}</p><img alt="a dot" src="data:image/png;base64,{dot}">'
slider.observe(show, "value")
show(None)
control, bench = w.Box([w.HTML('<span class="ck-label">gun speed</span>'), slider]), w.VBox()
control.add_class("ck-control"), bench.add_class("ck-bench")
bench.children = (control, picture)
bench"""
KEYS, MOVES, ROUNDS = 60, 180, 3
WATCH = """() => {
    const box = document.querySelector('.ck-bench');
    const seen = window.seen = {events: [], shown: []};
    const note = event => seen.events.push(performance.now());
    addEventListener('keydown', note, true);
    addEventListener('pointermove', event => { if (event.buttons) { note(event); } }, true);
    let last = box.querySelector('img').src;
    new MutationObserver(() => {
        const image = box.querySelector('img');
        if (!image || image.src === last) { return; }
        last = image.src;
        image.decode().then(() => requestAnimationFrame(() => {
            const channel = new MessageChannel();  // its message comes after the frame that is being made
            channel.port1.onmessage = () => seen.shown.push(performance.now());
            channel.port2.postMessage(0);
        })).catch(() => {});  // replaced before it was decoded: never seen
    }).observe(box, {childList: true, subtree: true, attributes: true});
}"""


def notebook(path, source):
    page = nbformat.v4.new_notebook(metadata={"kernelspec": {"name": "python3", "display_name": "Python 3"}})
    page.cells = [nbformat.v4.new_code_cell(source)]
    nbformat.write(page, path)


def opened(browser, lab, name):
    page = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
    page.set_default_timeout(serving.PATIENCE)
    page.goto(lab.url(name))
    page.locator(".jp-NotebookPanel:visible .jp-Cell").first.wait_for()
    page.locator("#jp-main-statusbar", has_text="| Idle").wait_for()
    for name in ("Run", "Run All Cells"):
        page.get_by_role("menuitem", name=name, exact=True).click()
    page.locator(".ck-bench img").wait_for()
    page.locator("#jp-main-statusbar", has_text="| Idle").wait_for()
    return page


def keys(page, handle):
    """ms from each key to its picture."""
    handle.focus()
    taken = []
    for number in range(KEYS):
        page.evaluate("() => { seen.events.length = seen.shown.length = 0; }")
        page.keyboard.press("ArrowLeft" if number // 10 % 2 else "ArrowRight")
        page.wait_for_function("() => seen.shown.length > 0")
        taken.append(page.evaluate("() => seen.shown[0] - seen.events[0]"))
    return np.percentile(taken[5:], [50, 95])


def drag(page, handle):
    """Pictures in a second, and ms from the last move to the last picture."""
    box = handle.bounding_box()
    track = handle.locator("xpath=ancestor::*[contains(@class, 'noUi-target')]").bounding_box()
    y = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + box["width"] / 2, y)
    page.mouse.down()
    page.evaluate("() => { seen.events.length = seen.shown.length = 0; }")
    for number in range(MOVES):
        share = 0.5 - 0.4 * np.cos(2 * np.pi * number / MOVES)
        page.mouse.move(track["x"] + share * track["width"], y)
    page.evaluate("() => { window.stopped = performance.now(); }")
    page.wait_for_function("() => performance.now() - Math.max(stopped, seen.shown.at(-1) || 0) > 500")
    page.mouse.up()
    events, shown = page.evaluate("() => [seen.events, seen.shown]")
    pictures = len(shown) / (shown[-1] - events[0]) * 1e3
    return pictures, max(shown[-1] - events[-1], 0.0), (events[-1] - events[0]) / (len(events) - 1)


def measured(page):
    """The least disturbed round of keys, and every round of drags; the page is closed after them."""
    page.evaluate(WATCH)
    handle = page.locator(".ck-control", has_text=SLIDER).locator(".noUi-handle")
    handle.scroll_into_view_if_needed()
    pressed = min((keys(page, handle) for _ in range(ROUNDS)), key=lambda found: found[1])
    dragged = [drag(page, handle) for _ in range(ROUNDS)]
    page.context.close()
    return pressed, dragged


def figures():
    if remedy := serving.missing():
        print(f"left out: {remedy}")
        return
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        (root / "notebooks").mkdir()
        notebook(root / "notebooks" / "floor.ipynb", FLOOR)
        notebook(root / "notebooks" / "door.ipynb", DOOR)
        with serving.served_lab(root) as lab, serving.headless_chromium() as browser:
            floor_pressed, floor_dragged = measured(opened(browser, lab, "floor.ipynb"))
            pressed, dragged = measured(opened(browser, lab, "door.ipynb"))
    yield Figure("a dot in Lab (the floor), key to changed pixels, p50", floor_pressed[0], "ms")
    yield Figure("a dot in Lab (the floor), key to changed pixels, p95", floor_pressed[1], "ms")
    yield Figure("a dot in Lab (the floor), pictures while dragging", max(found[0] for found in floor_dragged), "/s")
    yield Figure("door map in Lab, key to changed pixels, p50", pressed[0], "ms")
    yield Figure("door map in Lab, key to changed pixels, p95", pressed[1], "ms", 80)
    yield Figure("door map in Lab, pictures while dragging", max(found[0] for found in dragged), "/s", 15, "≥")
    yield Figure("door map in Lab, last picture after the hand stops", min(found[1] for found in dragged), "ms", 90)
    yield Figure("door map in Lab, between two moves of the pointer", min(found[2] for found in dragged), "ms")
