"""The pace of a coat in the browser: started and stopped by keyboard, and as fast as the gun must be."""

import pytest
from playwright.sync_api import expect

from tests.browser.test_lab import box, bring, end_of, open_notebook, run_all

pytestmark = pytest.mark.browser
PLACE = """bench => {
    const mark = new DOMMatrix(getComputedStyle(bench.querySelector('.ck-pace-picture > g')).transform);
    const times = bench.getAnimations({subtree: true}).map(animation => animation.currentTime);
    return [mark.e, mark.f, Math.max(0, ...times)];
}"""


@pytest.fixture
def pace(page, lab):
    open_notebook(page, lab, "07-pattern-and-film.ipynb")
    run_all(page, end_of(page))
    return bring(box(page, "Practise the pace"))


def test_pace_runs_by_keyboard_at_the_speed_of_the_gun(page, pace, look):
    switch = pace.get_by_role("switch", name="Start the pace")
    expect(switch).not_to_be_checked()
    start = pace.evaluate(PLACE)
    assert start[2] == 0, "nothing moves before it is started"
    switch.focus()
    page.keyboard.press("Space")
    running = pace.get_by_role("switch", name="Stop the pace")
    expect(running).to_be_checked()
    expect(pace).to_contain_text("get ready")
    # 3 s to get ready, then 1.3 m in 3.25 s: by its own clock the mark is where the gun must be
    page.wait_for_function(
        "bench => bench.getAnimations({subtree: true}).some(a => a.currentTime > 4000)", arg=pace.element_handle()
    )
    first = pace.evaluate(PLACE)
    page.wait_for_function(
        "bench => bench.getAnimations({subtree: true}).some(a => a.currentTime > 5000)", arg=pace.element_handle()
    )
    second = pace.evaluate(PLACE)
    bring(pace.locator(".ck-pace"))
    look(page, "pace-1280.png")
    stroke = pace.evaluate("bench => bench.querySelector('rect.ck-pace-moves').width.baseVal.value")
    speed = (second[0] - first[0]) / stroke * 1.3 / ((second[2] - first[2]) / 1000)
    assert speed == pytest.approx(0.4, rel=0.02) and second[1] == pytest.approx(first[1], abs=0.2)
    page.keyboard.press("Space")
    expect(pace.get_by_role("switch", name="Start the pace")).not_to_be_checked()
    assert pace.evaluate(PLACE) == start, "stopped, the mark is back at the first trigger"
