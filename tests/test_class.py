"""In front of a class: own numbers from a word and a name, paper that prints; the instructor's own stay."""

import re

import pytest
from markupsafe import escape

from coursekit import folder, lesson
from coursekit.__main__ import main
from coursekit.course.notebooks import notebooks
from coursekit.lesson.content.declared import all_exercises
from coursekit.lesson.learner.progress import FILE, Progress
from coursekit.lesson.pages.cautions import cautions_html
from coursekit.lesson.practice.exercise import judge
from coursekit.lesson.teaching.numbers import class_seed
from coursekit.quantities import InputError
from tests.calls import refused
from tests.seeds import SYSTEMS, faults
from tests.test_cautions import leave


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


# --- own numbers -------------------------------------------------------------------------------------------


def test_the_instructor_sees_what_the_learner_gets():
    drawn = lesson.learner_set("Garage 7", "Ana", "01-film").drawn
    lesson.join_class("garage  7", " ana")
    assert [one.exercise.key for one in drawn] == ["film-1", "film-2", "film-3", "film-4"]
    for one in drawn:
        mine = lesson.exercise(one.exercise.key)
        assert mine.question.ask == one.question.ask and mine.question.answer == one.question.answer
        assert one.question.way == mine.question.way
    mine.another()
    again = lesson.learner_set("garage 7", "Ana", "film-4", turn=1).drawn[0]
    assert mine.question.ask == again.question.ask != one.question.ask


def test_learners_of_a_class_have_numbers_of_their_own():
    names = [f"Learner {number}" for number in range(40)]
    assert len({class_seed("b", name) for name in names}) == 40
    assert class_seed("b", "x") != class_seed("c", "x") and class_seed("ab", "c") != class_seed("a", "bc")
    asked = {lesson.learner_set("b", name, "film-3").drawn[0].question.ask for name in names}
    assert len(asked) > 30


def test_looking_at_a_set_touches_nobodys_progress(home):
    lesson.seed("mine")
    lesson.exercise("film-1").answer("1 m")
    before = {path: path.read_bytes() for path in home.iterdir() if not path.name.startswith(".")}
    assert "Answer: " in repr(lesson.learner_set("b", "Ana", ["01-film", "mix-1"], "us"))
    for kind in ("exercises", "key", "cards"):
        lesson.paper(kind, "01-film" if kind != "cards" else "", "b", ["Ana"])
    assert {path: path.read_bytes() for path in home.iterdir() if not path.name.startswith(".")} == before
    assert lesson.seed() == "mine" and len(Progress().events()) == 1


def test_joining_keeps_the_name_as_it_was_typed(home):
    told = repr(lesson.join_class("b-07", "Ána  <i>"))
    assert "Ána <i>" in told and "&lt;i&gt;" in lesson.join_class("b-07", "Ána <i>").html
    assert folder.setting("class") == {"word": "b-07", "name": "Ána <i>"}
    kept = Progress().events("join")[-1]
    assert (kept.key, kept.answer, kept.seed) == ("b-07", "Ána <i>", lesson.seed())
    assert lesson.exercise("film-1").tries == 0 and "0 of" in lesson.progress().text


@pytest.mark.parametrize("bad", ["", " ", "x" * 61, None, True, 3.5, ["Ana"], "a\0b", "a\x1b[2J"])
def test_a_word_or_name_that_is_none_is_refused(home, bad):
    for call in (
        lambda: lesson.join_class(bad, "Ana"),
        lambda: lesson.join_class("b", bad),
        lambda: lesson.learner_set("b", bad, "01-film"),
    ):
        with refused("form"):
            call()
    assert not (home / FILE).exists() and lesson.seed() != bad


def test_what_is_no_lesson_is_told_with_what_there_is():
    for bad in ("02-film", "film-99", "", None, 3, [], "00"):
        with pytest.raises(InputError, match="There are: 00-start-here, 01-film"):
            lesson.learner_set("b", "Ana", bad)
    for turn in (-1, 1000, True, "1"):
        with refused("form", "turn"):
            lesson.learner_set("b", "Ana", "film-1", turn=turn)


# --- paper -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("units", SYSTEMS)
@pytest.mark.parametrize(("kind", "which"), [("exercises", "03-scratch"), ("key", "03-scratch"), ("cards", "")])
def test_command_line_and_notebook_write_the_same_bytes(tmp_path, kind, which, units):
    names = ["Ana", "Bo <b>"]
    here = lesson.paper(kind, which, "b-07", names, units).save(tmp_path / "here.html")
    more = [part for name in names for part in ("--name", name)]
    wanted = [which] if which else []
    given = ["paper", kind, *wanted, "--word", "b-07", *more, "--units", units, "-o", str(tmp_path / "there.html")]
    assert main(given) == 0
    assert here.read_bytes() == (tmp_path / "there.html").read_bytes()
    text = here.read_text(encoding="utf-8")
    assert text.startswith("<!DOCTYPE html>") and "Bo &lt;b&gt;" in text and "<b>" not in text
    assert not re.search(r"https?://(?!www\.w3\.org)", text), "it needs no other file and no network"
    assert text.count("not clearance to spray") == text.count("<article>")


def test_a_sheet_tells_no_answer_and_the_key_tells_all():
    for drawn in lesson.learner_set("b", "Ana", "01-film").drawn:
        sheet, key = (lesson.paper(kind, drawn.exercise.key, "b", "Ana").html for kind in ("exercises", "key"))
        assert not any(re.search(r"\d (µm|mL|m²)", text) for text in (sheet, key)), (
            "a unit stays on its number's line"
        )
        sheet, key = (text.replace("\N{NO-BREAK SPACE}", " ") for text in (sheet, key))
        assert str(drawn.question.way) not in sheet
        assert drawn.answer in key and drawn.accepted in key and all(escape(told) in key for _, told in drawn.slips)
        if drawn.question.choices:
            continue  # the right one stands on the sheet among the others
        assert drawn.accepted not in sheet
        low, high = drawn.accepted.split(" to ")
        assert judge(drawn.question, high, "metric").passed
        assert judge(drawn.question, low, "metric").passed


def test_every_lesson_makes_a_sheet_and_a_key():
    for which in sorted({key.rpartition("-")[0] for key in all_exercises()}):
        keys = [key for key in all_exercises() if key.rpartition("-")[0] == which]
        for kind in ("exercises", "key"):
            for units in SYSTEMS:
                page = lesson.paper(kind, keys, "b", "Ana", units).html
                assert (
                    page.count("<h2>") == len(keys)
                    and not leave(page)
                    and "None" not in page
                    and "nan" not in page.split("</style>")[1]
                )


@pytest.mark.parametrize("row", [row for row in notebooks() if row.get("exercises")], ids=lambda row: row["file"])
def test_paper_of_a_lesson_has_the_cautions_that_its_notebook_shows(row):
    """The same text from the same place, on each sheet and on each key."""
    topics = [] if row["cautions"] == "all" else row["cautions"]
    told = cautions_html(*topics)
    assert len(told) > 500
    for kind in ("exercises", "key"):
        text = lesson.paper(kind, row["file"], "b", ["Ana", "Bo"]).html
        assert text.count(told) == text.count("<article>") == 2
    mixed = lesson.paper("exercises", ["01-film", row["file"]], "b", "Ana").html
    assert all(line in mixed for line in re.findall(r"<li>.*?</li>", told + cautions_html("solvent")))


def test_each_card_has_the_cautions_of_its_work():
    parts = lesson.paper("cards", "", "b", "Ana").html.split("<article>")[1:]
    assert len(parts) == 4 and all("ck-take-care" in part for part in parts)
    for part, topic in zip(parts, ("mixing", "spraying", "dust", "mixing"), strict=True):
        assert lesson.cautions(topic).text.splitlines()[2].removeprefix("- ") in part


def test_answers_to_the_cards_are_right_and_on_a_page_of_their_own():
    page, measured, papers = (
        lesson.paper("cards", card, "b", "Ana").html.replace("\N{NO-BREAK SPACE}", " ")
        for card in ("comb", "measure", "papers")
    )
    front, back = page.split("Answers to the cards")
    assert front.count("<article>") == 2 and "wet." not in front
    found = re.findall(r"between ([\d.]+) µm and ([\d.]+) µm, so about ([\d.]+) µm", back)
    assert len(found) == 6 and len(set(found)) > 1
    for low, high, middle in found:
        assert float(low) < float(middle) < float(high)
    paint, time, rate = re.search(r"<li>([\d.]+) mL in ([\d.]+) s are ([\d.]+) mL/min", measured).groups()
    assert float(rate) == pytest.approx(60 * float(paint) / float(time), rel=0.01)
    mixed = re.search(r"mixed up: ([P\d, ]+)\.", papers)[1].split(", ")
    order = re.search(r"<li>(P\d+(?: → P\d+)+)\.", papers)[1].split(" → ")
    assert sorted(mixed) == sorted(order) and mixed != order
    assert [int(one[1:]) for one in order] == sorted(int(one[1:]) for one in order)


def test_paper_writes_over_nothing_but_a_page(tmp_path, capsys):
    file = tmp_path / "mine.txt"
    file.write_text("mine")
    given = ["paper", "key", "01-film", "--word", "b", "--name", "Ana", "-o"]
    assert main([*given, str(file)]) == 2 and file.read_text() == "mine"
    assert main([*given, str(tmp_path)]) == 2 and main([*given, str(tmp_path / "no" / "x.html")]) == 2
    assert capsys.readouterr().err.count("\n") == 3
    with refused("count", "names"):
        lesson.paper("key", "01-film", "b", [])


# --- many seeds --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", sorted(all_exercises()))
def test_no_seed_gives_a_question_that_cannot_be_answered(key):
    """A hundred seeds; `python -m tests.seeds 10000` tries as many as you like."""
    exercise = all_exercises()[key]
    found = {
        (fault, system)
        for number in range(100)
        for system in SYSTEMS
        for fault in faults(exercise, f"seed-{number}", system, everywhere=number < 2)
    }
    assert not found
    asked = {exercise.question(f"seed-{number}").ask for number in range(100)}
    assert len(asked) >= 20
