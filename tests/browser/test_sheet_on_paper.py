"""The job sheet as it prints: page after page on A4 and Letter, nothing cut, no heading alone, readable in grey."""

import re
import shutil
import subprocess
from io import BytesIO

import pytest
from matplotlib.image import imread

from coursekit import repair
from coursekit.repair.writing import recipe_text
from tests.test_sheet import MORE, written

pytestmark = pytest.mark.browser
MILLIMETRE = 96 / 25.4  # CSS pixels
PAPERS = {"A4": (210, 297), "Letter": (215.9, 279.4)}
SIDES = 2 * 14  # mm, the page's margins

RECIPES = {  # the demo in US units, whose rows on the wall are the longest
    "demo": lambda: repair.demo_path().read_text(encoding="utf-8"),
    "hurry": lambda: repair.demo_path("impatient_repair").read_text(encoding="utf-8"),
    "full": lambda: written(MORE),
}

WIDE = """() => [...document.querySelectorAll('body *')].filter(node => !node.closest('svg'))
    .filter(node => node.getBoundingClientRect().right > document.documentElement.clientWidth + 1
                    || node.scrollWidth > node.clientWidth + 1 && getComputedStyle(node).display == 'block')
    .map(node => node.tagName + ' ' + node.textContent.slice(0, 60))"""
WALLS = "() => [...document.querySelectorAll('.wall')].map(one => one.getBoundingClientRect().height)"
SMALL = """() => [...document.querySelectorAll('body *')].filter(node => node.childElementCount == 0
        && node.textContent.trim())
    .map(node => [parseFloat(getComputedStyle(node).fontSize) * (node.closest('svg')
                  ? node.closest('svg').getBoundingClientRect().width / node.closest('svg').viewBox.baseVal.width : 1)
                  * 72 / 96, node.textContent.slice(0, 60)])
    .filter(([points]) => points < 8.9)"""
COLOURS = """() => [...document.querySelectorAll('*')].flatMap(node => ['color', 'backgroundColor', 'borderTopColor',
        'fill', 'stroke'].map(key => getComputedStyle(node)[key]))
    .map(text => (text.match(/\\d+(\\.\\d+)?/g) || []).slice(0, 3).map(Number))
    .filter(([r, g, b]) => r != g || g != b).length"""


@pytest.fixture(params=RECIPES)
def sheet(request, page, tmp_path):
    """The sheet of a recipe, opened as a file, as it is printed."""
    file = tmp_path / "sheet.html"
    units = "us" if request.param == "demo" else "metric"
    file.write_text(repair.job_sheet(repair.loads(RECIPES[request.param]()), units), encoding="utf-8")
    page.goto(file.as_uri())
    page.emulate_media(media="print")
    return page


def pages_of(pdf, tmp_path):
    """The text of each page of a PDF."""
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext: install poppler-utils")
    file = tmp_path / "sheet.pdf"
    file.write_bytes(pdf)
    told = subprocess.run(["pdftotext", "-layout", file, "-"], capture_output=True, check=True, text=True).stdout
    return [" ".join(one.split()) for one in told.split("\f") if one.strip()]


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_is_wider_than_the_page_and_nothing_too_small(sheet, paper):
    width, height = PAPERS[paper]
    sheet.set_viewport_size({"width": int((width - SIDES) * MILLIMETRE), "height": int(height * MILLIMETRE)})
    assert sheet.evaluate(WIDE) == []
    assert sheet.evaluate(SMALL) == []
    assert sheet.evaluate(COLOURS) == 0
    walls = sheet.evaluate(WALLS)
    assert len(walls) == 2 and max(walls) <= (height - 2 * 13) * MILLIMETRE, "each wall page is one page of paper"


@pytest.mark.parametrize("paper", PAPERS)
def test_no_heading_stands_alone_and_nothing_is_lost_in_print(sheet, paper, tmp_path):
    """Each heading is on the page of what follows it, and every row and sentence is on one page, whole."""
    blocks = sheet.evaluate("""() => [...document.querySelectorAll('h2, h3, caption')].map(head => {
        const next = head.tagName == 'CAPTION' ? head.parentElement.querySelector('th') : head.nextElementSibling;
        if (next.querySelector('svg')) return [head.innerText, 'covered'];  // its words are drawn one by one
        return [head.innerText, next.querySelector('li, td, th')?.textContent || next.innerText];})""")
    rows = sheet.evaluate("() => [...document.querySelectorAll('tbody tr')].map(row => row.innerText)")
    pages = pages_of(sheet.pdf(format=paper), tmp_path)
    assert 4 < len(pages) < 16 and len(blocks) > 15
    assert all("Computed, not a clearance." in one for one in pages[:2]) and ": the appendix" in pages[2][:80]
    for head, after in blocks:
        first = " ".join(after.split()[:4])
        assert any(head in one and first in one[one.index(head) :] for one in pages), (head, first)
    for row in rows:
        words = [word for word in re.split(r"\s+", row) if word]
        assert any(all(word in one for word in words) for one in pages), row


def test_a_page_printed_in_grey_has_black_words_on_white(sheet):
    """A screenshot of the printed look: mostly white, words black, nothing in colour."""
    image = imread(BytesIO(sheet.screenshot(full_page=True)))[..., :3]
    assert (image.max(axis=-1) - image.min(axis=-1)).max() < 0.02
    assert image.min() == 0 and (image > 0.9).all(axis=-1).mean() > 0.75


def test_a_repair_of_forty_steps_still_has_two_pages_for_the_wall(page):
    """The demo with its second round of surfacer once more, in US units, whose rows are the longest."""
    recipe = repair.load(repair.demo_path())
    steps = recipe.written["step"]
    longer = repair.loads(recipe_text({**recipe.written, "step": [*steps[:22], *steps[7:19], *steps[22:]]}))
    assert len(longer.steps) == 40
    page.set_content(repair.job_sheet(repair.replay(longer, preview=True), "us"))
    page.emulate_media(media="print")
    for width, height in PAPERS.values():
        page.set_viewport_size({"width": int((width - SIDES) * MILLIMETRE), "height": int(height * MILLIMETRE)})
        walls = page.evaluate(WALLS)
        assert len(walls) == 2 and max(walls) <= (height - 2 * 13) * MILLIMETRE, "each wall page is one page of paper"
