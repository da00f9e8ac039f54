"""Scripts of an instructor: each move is played on its bench, and the answer follows from its figures."""

import itertools
import json
import re

import pytest

from coursekit import lesson, measured, outfit, repair, spraying
from coursekit.__main__ import main
from coursekit.course.notebooks import notebooks
from coursekit.lesson.learner import unit_system
from coursekit.lesson.pages.cautions import cautions_html
from coursekit.lesson.teaching import static_page
from coursekit.lesson.teaching.numbers import learner_set
from coursekit.lesson.teaching.script import LENGTHS, LEVELS, lessons, script
from coursekit.lesson.teaching.static_page import _bench as static_bench
from coursekit.lesson.teaching.static_page import _units as static_units
from coursekit.lesson.teaching.static_page import lessons as paged
from coursekit.lesson.teaching.view import WallView
from coursekit.unit_grammar import unit_of
from tests.calls import ROOT, refused
from tests.test_cautions import leave

assert repair  # the benches of whole repairs are declared with it


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))


MOVES = {
    f"{key}-{move.bench}-{number}": move
    for key in lessons()
    for number, move in enumerate(dict.fromkeys(str(m) for level in LEVELS for m in script(key, 45, level).moves))
    for move in [next(m for level in LEVELS for m in script(key, 45, level).moves if str(m) == move)]
}


def plain(figure):
    """The number of a figure in SI, the middle of a band."""
    found = getattr(figure, "si", figure)
    return float(getattr(found, "middle", found))


@pytest.mark.parametrize("move", MOVES.values(), ids=MOVES)
def test_each_choice_has_a_factor_of_its_own(move):
    """So that a figure can be right for one answer alone; what is said as a number is held within a fifth of it."""
    assert move.answer in move.choices and len(set(move.choices)) == len(move.choices) == len(move.factors) > 1
    assert move.wrong and move.why
    ends = sorted(move.factors)
    assert all(low < high for low, high in ends)
    assert all(before[1] <= after[0] for before, after in itertools.pairwise(ends))
    for choice, (low, high) in zip(move.choices, move.factors, strict=True):
        number = next((number for words, number in NUMBERS.items() if re.search(rf"\b{words}\b", choice)), None)
        assert number is None or number / 1.2 <= low <= number <= high <= number * 1.2, (choice, low, high)


# What is said of a figure, as a factor; a share less is told by what is left.
NUMBERS = {
    "half as (much|far|deep) again": 1.5,
    "half as (large|far|many|high|deep)": 0.5,
    "(about )?half$": 0.5,
    "two thirds": 2 / 3,
    "three fifths": 0.6,
    "a quarter less": 0.75,
    "a tenth more": 1.1,
    "a quarter more": 1.25,
    "a third longer": 4 / 3,
    "twice(?!.*or more)": 2,
    "three times": 3,
    "four times": 4,
    "the same(?! (minutes|share))": 1,
}


@pytest.mark.parametrize("system", unit_system.OPTIONS)
@pytest.mark.parametrize("move", MOVES.values(), ids=MOVES)
def test_the_move_as_played_gives_the_answer_and_no_other_and_the_words_have_its_numbers(move, system):
    lesson.units(system)
    against, then = map(plain, move.moved())
    right = [
        choice
        for choice, (low, high) in zip(move.choices, move.factors, strict=True)
        if low <= then / against <= high
    ]
    assert right == [move.answer], (then / against, move.expected)
    for text in (move.told(move.say), move.told(move.ask), move.controls, move.expected):
        assert text and not re.search(r"[{}<]|\binf\b|\bnan\b|None", text) and not leave(text), text
    if system == "us":
        assert not re.search(r"\d (mL|°C|bar|mm)\b", move.told(move.say)), move.told(move.say)


def test_there_are_scripts_of_both_lengths_for_nine_lessons():
    files = [row["file"] for row in notebooks()]
    assert len(lessons()) == 9 and set(lessons()) <= set(files)
    for key in lessons():
        for level in LEVELS:
            short, long = (script(key, minutes, level) for minutes in LENGTHS)
            assert 8 <= 1 + sum(move.minutes for move in short.moves) <= 10
            assert long.exercises >= 15, "who only watches learns little"
            begins, what, _ = zip(*long.parts(), strict=True)
            assert what[-1] == "Close" and begins[-1] + 3 == 45 and list(begins) == sorted(begins)


def test_a_script_says_all_that_an_instructor_needs():
    told = repr(lesson.script("01-film", 10))
    for part in ("Say: ", "Ask: ", "Move: ", "Expect: ", "They will say: ", "Why: ", "Right answer: "):
        assert told.count(part) >= 3, part
    opening, first = told.split(" 1 min  Question 1", 1)
    assert len(opening.split()) < 60, "the first question stands at the top"
    assert len(told.split("Before anybody")[0].split()) < 450 and first.index("Ask: ") < first.index("Move: ")
    assert "reduction (reducer added) to 20" in told or "20\N{NARROW NO-BREAK SPACE}%" in told
    page = lesson.script("01-film", 45, "practised").paper
    assert page.html.startswith("<!DOCTYPE html>") and "film-1, film-2, film-3" in page.html
    assert lesson.script("01-film", 45, "new").moves != lesson.script("01-film", 45, "practised").moves


def test_script_and_wall_have_the_cautions_of_the_lesson_and_clear_nothing():
    shown = {row["file"]: row["cautions"] for row in notebooks()}
    for key in lessons():
        assert lesson.script(key).cautions.html == lesson.cautions(*shown[key]).html
    key, topics = "02-mix", shown["02-mix"]
    assert not any(leave(repr(lesson.script("19-air-you-breathe", 45, level))) for level in LEVELS)
    told, made, wall = lesson.cautions(*topics), lesson.script(key), lesson.wall(key)
    for text in (made.paper.html, made._repr_mimebundle_()["text/html"], wall.html, WallView(wall).care.value):
        assert cautions_html(*topics) in text and "not clearance to spray" in text
    assert (
        told.text in repr(made) and "not clearance to spray" in repr(made) and "not clearance to spray" in repr(wall)
    )


def test_a_page_for_others_knows_nothing_that_the_instructor_measured():
    """Cup under the gun, hand on the scale, a gun of one's own: the lesson's bench follows them, the pages do not."""

    def made():
        pages = [lesson.script(key).paper.html for key in ("03-scratch", "06-gun")]
        wall = lesson.wall("06-gun")
        wall.reveal()
        return [*pages, wall.words, wall.bench.html, *map(str, static_bench("gun-fluid", ["turns"]))]

    own, pages = lesson.bench("gun-fluid").fresh().words, made()
    measured.load().enter("delivery", paint=["45 mL", "46 mL"], time="15 s")
    measured.load().enter("force", scale=["4 kg", "4.1 kg"])
    outfit.keep(spraying.Gun("my gun", tip_bore="1.8 mm", gun_inlet_pressure="30 psi"))
    assert lesson.bench("gun-fluid").fresh().words != own
    assert made() == pages
    wall = lesson.wall("06-gun")
    wall.reveal()
    mine = wall.bench.fresh().move(wall.bench.values)
    assert mine.words != wall.bench.move(wall.bench.values).words, "moved by hand it is nobody's, too"


def test_what_there_is_no_script_for_is_refused():
    for bad in (("05-plan-a-coat",), ("x",), (None,), ("01-film", 20), ("01-film", True), ("01-film", 10, "old")):
        with refused("choice"):
            lesson.script(*bad)


# --- on the wall -------------------------------------------------------------------------------------------


def test_the_answer_is_hidden_until_hands_are_counted():
    wall = lesson.wall("01-film")
    before = wall.bench.words
    assert wall.answer == "" and wall.move.why not in wall.words and wall.move.why not in wall.html
    wall.count("it gets thinner", 7)
    wall.count("it stays the same", 5)
    wall.reveal()
    assert wall.answer.startswith("It gets thinner. 7 of 12 said so. 54 µm before, 45 µm after. ")
    assert wall.move.why in wall.words
    assert before in wall.bench.pinned_words and wall.bench.words != before, "both are there to be compared"
    wall.reveal()
    wall.next()
    assert not wall.revealed and sum(wall.hands.values()) == 0 and "question 2 of 3" in wall.place
    wall.go(99), wall.next()
    assert wall.number == 2
    wall.go(-1), wall.back()
    assert wall.number == 0
    for bad in (("none of these", 1), ("it gets thinner", -1), ("it gets thinner", 501), ("it gets thinner", "7")):
        with refused(None):
            wall.count(*bad)


def test_the_wall_shows_one_bench_and_its_one_control_after_the_answer():
    wall = lesson.wall("01-film")
    view = WallView(wall)
    assert view.bench_view.controls.children == () and view.bench_view.buttons.layout.display == "none"
    asked, shown = view.box.children[0].children  # beside each other, so that both are in one view of a projector
    assert view.question in asked.children and view.answer in asked.children and shown is view.place
    assert view.bench_view.head.value.count("<p") == 0
    said, kept = view.bench_view.said.layout, view.bench_view.pinned.layout
    assert said.display == kept.display == "none", "the sentence would give the answer away"
    view.hands.children[1].children[0].value = 9
    view.show.click()
    assert len(view.bench_view.controls.children) == 1 and "9 of 9 said so" in view.answer.value
    assert said.display is None and kept.display == "none", "what was before stands in the answer"
    view.minutes.value = 45
    assert wall.script.minutes == 45 and view.answer.value.count("<p") == 0
    view.lesson.value = "06-gun"
    assert wall.move.bench == "gun-fluid" and len(view.place.children) == 1
    lesson.units("us")
    assert "fl oz" in view.bench_view.said.value


# --- a page without Python ---------------------------------------------------------------------------------


@pytest.mark.parametrize("key", paged())
def test_a_lesson_is_one_page_whole_in_itself(key, monkeypatch, rough):
    if key not in ("01-film", "10-masking"):  # the others with one slider and at few places, for time's sake
        few = [
            {**row, "page": {bench: keys[:1] for bench, keys in row.get("page", {}).items()}} for row in notebooks()
        ]
        monkeypatch.setattr(static_page, "notebooks", lambda: [row for row in few if row["page"]])
        monkeypatch.setattr(static_page, "PLACES", 2)
    page = lesson.static_page(key)
    assert len(page.html.encode()) <= 8_000_000 and page.html.startswith("<!DOCTYPE html>")
    assert not re.search(r"https?://(?!www\.w3\.org)|src=\"(?!data:)|<link", page.html)
    topics = next(row["cautions"] for row in notebooks() if row["file"] == key)
    assert page.html.count(cautions_html(*(() if topics == "all" else topics))) == 1 and not leave(page.html)
    assert page.html.index("not clearance to spray") < page.html.index('<section class="bench')
    benches = next(row["page"] for row in notebooks() if row["file"] == key)
    assert page.html.count('<section class="bench') == len(benches)
    notebook = (ROOT / "notebooks" / f"{key}.ipynb").read_text(encoding="utf-8")
    shown = set(re.findall(r'lesson\.bench\(\\"([a-z0-9-]+)', notebook))
    assert set(benches) == shown - {"find-setting"}, "a search over every setting of a gun is none for a page"
    data = json.loads(re.search(r'id="data">(.*?)</script>', page.html, re.DOTALL)[1])
    for bench in data["benches"]:
        places = 1
        for words in bench["words"]:
            assert len(words) > 1 and len(set(words)) == len(words)
            places *= len(words)
        assert len(bench["shown"]) == places and len(set(bench["shown"].values())) > places / 2
        assert all("ck-words" in shown or "ck-error" in shown for shown in bench["shown"].values())


def test_a_unit_of_the_page_can_be_typed_on_any_keyboard_and_means_what_it_does_in_the_course():
    for key in paged():
        for drawn in learner_set("page", "reader", key).drawn:
            if drawn.question.choices:
                continue
            units = dict(static_units(drawn.question.name))
            typed = {of for spelling, of in units.items() if spelling.isascii() or "°" in spelling}
            assert units and typed == set(units.values()), (drawn.question.name, units)
            for spelling, (factor, offset) in units.items():
                assert not spelling or (unit_of(spelling).factor, unit_of(spelling).offset) == (factor, offset)
    assert {"mm2/s", "mm^2/s"} <= set(dict(static_units("kinematic_viscosity")))


def test_command_line_writes_the_page_in_the_units_asked_for(tmp_path):
    lesson.units("metric")
    assert main(["page", "01-film", "--units", "us", "-o", str(tmp_path / "page.html")]) == 0
    text = (tmp_path / "page.html").read_text(encoding="utf-8")
    assert " mil" in text and unit_system.chosen() == "metric"
    assert main(["page", "01-film", "-o", str(tmp_path / "metric.html")]) == 0
    assert (tmp_path / "metric.html").read_text(encoding="utf-8") == lesson.static_page("01-film").html
    assert main(["page", "25-teach-a-class", "-o", str(tmp_path / "no.html")]) == 2
