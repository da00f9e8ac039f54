"""A lesson as one page, opened from a file in Chromium with the network off: sliders by keyboard, answers checked."""

import functools
import json
import math
import re

import pytest

from coursekit import lesson, quantities
from coursekit.lesson.learner import unit_system
from coursekit.lesson.practice.exercise import judge
from coursekit.lesson.teaching.numbers import learner_set
from coursekit.lesson.teaching.static_page import _units
from coursekit.nomenclature import names

pytestmark = pytest.mark.browser


@functools.cache
def made(key):
    return lesson.static_page(key)


@pytest.fixture(params=["01-film", "03-scratch"])
def opened(request, page, tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))
    file = made(request.param).save(tmp_path / "page.html")
    page.faults, page.asked, page.lesson = [], [], request.param
    page.on("pageerror", lambda error: page.faults.append(str(error)))
    page.on("request", lambda request: page.asked.append(request.url))
    page.context.set_offline(True)
    page.goto(file.as_uri())
    return page


def test_keys_move_a_slider_and_the_picture_with_its_sentence(opened):
    section = opened.locator("section.bench").first
    slider, sentence, drawing = (
        section.locator(part).first for part in ("input[type=range]", ".picture .ck-words", ".picture svg")
    )
    at, words, drawn = section.locator("output").first.inner_text(), sentence.inner_text(), drawing.inner_html()
    slider.focus()
    opened.keyboard.press("ArrowRight" if slider.input_value() != slider.get_attribute("max") else "ArrowLeft")
    now = section.locator("output").first.inner_text()
    assert now != at and slider.get_attribute("aria-valuetext") == now
    assert sentence.inner_text() != words and drawing.inner_html() != drawn
    assert words.endswith(".") and sentence.inner_text().endswith(".")
    heading, said, picture = (one.bounding_box() for one in (section.locator("h2"), sentence, drawing))
    assert heading["y"] + heading["height"] <= said["y"], "the sentence stands under the heading"
    assert said["y"] + said["height"] <= picture["y"], "and over the drawing that it speaks of"
    assert opened.faults == [] and [url for url in opened.asked if not url.startswith("file:")] == []


TYPED = """
3/16 in|1-1/2 inch|2 3/8 in.|1-1/2 mil|1/2 sq ft|1/8 fl oz|15/16 hours|1/2 lb|1/4 foot|3/7 in|5/4 in|0/2 in|3/16 mm|
-1/2 in|1/2|12 3/4|1/2 turned|1.5/2 in|1 1 1/2 in|½ in|5 IN|5 Mil|5 PSI|5 MM|5 Gallons|5 GAL|5 S|5 ft^2|5 cc|5 um|
5  fl  oz|5 in/s|6-8 in|1,5 mm|1 000 mm|1e400 mm|1e-3 m|nan mm|0x10 mm|--5 mm|5 mm extra|5' 3"|5 oz|5|5 %|5 percent|
5 coats|41 °F|5 C|5 min|300 s|5 furlong||mm|5 cfm|5 ppm""".split("|")
READ_AS = ("dry_film", "area", "paint_volume", "weight", "trigger_duration", "coats", "part_share", "dew_point")


def reads_as_the_course(opened):
    """What the course refuses is refused, and what it takes is the same number."""
    for name in READ_AS:
        units, kind = dict(_units(name)), names()[name].kind
        found = opened.evaluate("([texts, units]) => texts.map(text => read(text, units))", [TYPED, units])
        for text, one in zip(TYPED, found, strict=True):
            page = one["number"] * one["unit"][0] + one["unit"][1] if one and one["unit"] else None
            try:
                course = quantities.read_text(text, kind, "your answer")
            except quantities.InputError:
                course = None
            same = page == course if None in (page, course) else math.isclose(page, course)
            assert same, (name, text, page, course)


def test_answers_are_judged_as_in_the_lesson(opened):
    forms = opened.locator("form.exercise")
    drawn = learner_set("page", "reader", opened.lesson).drawn
    assert forms.count() == len(drawn)
    for number, one in enumerate(drawn):
        form, question = forms.nth(number), one.question
        if question.choices:
            form.locator(f'input[value="{question.answer}"]').check()
            form.get_by_text("Check").click()
            assert "This check passed" in form.locator(".said").inner_text()
            continue
        typed = []
        for system in unit_system.OPTIONS:
            values = (question.answer, *(value for value, _ in question.slips), 1.5 * float(question.answer))
            typed += [quantities.shown(float(value), question.name, system, 4) for value in values]
        for text in [*typed, "", "a lot", "7 coats"]:
            field = form.locator("input[type=text]")
            field.fill(text)
            field.press("Enter")
            said, meant = form.locator(".said").inner_text(), judge(question, text)
            assert ("This check passed" in said) == meant.passed, (text, said, meant)
            if meant.outcome == "slip":
                assert said == meant.sentence, text
    reads_as_the_course(opened)
    assert opened.faults == []


# Words that do not stand out from what is behind them, 4.5 to 1: those of a drawing from their halo or the page.
FAINT = """() => {
    const parts = colour => colour.match(/[\\d.]+/g).map(Number);
    const light = colour => parts(colour).slice(0, 3).map(c => c / 255)
        .map(c => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4)
        .reduce((sum, c, i) => sum + c * [0.2126, 0.7152, 0.0722][i], 0);
    const ground = getComputedStyle(document.documentElement).backgroundColor;
    return [...document.querySelectorAll('svg text:not(.ck-on), p, label, h1, h2, output, li')]
        .filter(node => node.getClientRects().length && node.textContent.trim())
        .filter(node => {
            const style = getComputedStyle(node), drawn = node.closest('svg');
            const ink = drawn ? style.fill : style.color;
            const behind = drawn && style.stroke !== 'none' ? style.stroke : ground;
            const [dark, bright] = [light(ink), light(behind)].sort((a, b) => a - b);
            return (bright + 0.05) / (dark + 0.05) < 4.5;
        }).map(node => node.textContent)}"""


def words_stand_out(opened):
    """As drawn and in forced colours, and the check can tell."""
    for looks in ({}, {"forced_colors": "active", "color_scheme": "dark", "reduced_motion": "reduce"}):
        opened.emulate_media(**looks)
        assert opened.evaluate(FAINT) == [], looks
    planted = "document.querySelector('svg text:not(.ck-on)').style.cssText = 'fill: #777; stroke: #666'"
    opened.evaluate(planted)
    assert len(opened.evaluate(FAINT)) == 1
    slider = opened.locator("input[type=range]").first
    slider.focus()
    assert slider.evaluate("node => parseFloat(getComputedStyle(node).outlineWidth)") >= 2, "the focus is seen"


def test_hints_come_one_by_one_words_stand_out_and_the_page_prints(opened):
    form = opened.locator("form.exercise").first
    for wanted in ("Hint 1 of", "Hint 2 of"):
        form.get_by_text("Hint", exact=True).click()
        assert form.locator(".said").inner_text().startswith(wanted)
    words_stand_out(opened)
    opened.emulate_media(media="print", forced_colors="none")
    assert not form.get_by_text("Check").is_visible()
    assert len(re.findall(rb"/Type\s*/Page\b", opened.pdf(format="A4"))) >= 2
    wide = opened.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    assert wide <= 1


def test_data_of_the_page_holds_no_answer_in_its_text(opened):
    shown = opened.locator("main").inner_text()
    data = json.loads(opened.locator("#data").inner_text() or opened.evaluate("document.getElementById('data').text"))
    assert all(task["way"] not in shown for task in data["exercises"])
