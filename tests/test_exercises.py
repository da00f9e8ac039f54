"""Every exercise, for several seeds, in metric and US: right answers pass, each usual slip is told by its name."""

import importlib
import pkgutil
from datetime import datetime

import pytest

from coursekit import lesson, quantities
from coursekit.lesson.content import exercises
from coursekit.lesson.content.declared import all_exercises
from coursekit.lesson.learner import unit_system
from coursekit.lesson.learner.progress import Event, Progress
from coursekit.lesson.practice.attempt import Attempt
from coursekit.lesson.practice.exercise import EXERCISES, Draw, Question, exercise, judge
from coursekit.lesson.practice.review import due
from coursekit.lesson.practice.view import AttemptView, ReviewView
from coursekit.nomenclature import KINDS, names
from tests.calls import refused
from tests.test_words import long

for module in pkgutil.iter_modules(exercises.__path__):
    importlib.import_module(f"{exercises.__name__}.{module.name}")

SEEDS = ["1", "garage", "b-07", "42", "pear"]
CASES = [
    pytest.param(EXERCISES[key], system, id=f"{key}-{system}")
    for key in sorted(EXERCISES)
    for system in ("metric", "us")
]


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))


def typed(value, name, system):
    """As a learner types it: three digits more than needed would be unkind to expect."""
    return quantities.shown(value, name, system, 4).replace("\N{NARROW NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(("declared", "system"), CASES)
def test_right_answer_passes_in_both_systems(declared, system):
    for seed in SEEDS:
        question = declared.question(seed, 0, system)
        if question.choices:
            assert judge(question, question.answer, system).passed
            continue
        for written in ("metric", "us"):
            text = typed(question.answer, question.name, written)
            verdict = judge(question, text, system)
            assert verdict.passed, (seed, question.ask, text, verdict)


@pytest.mark.parametrize(("declared", "system"), CASES)
def test_each_slip_is_recognised_and_never_tells_the_answer(declared, system):
    for seed in SEEDS:
        question = declared.question(seed, 0, system)
        assert question.slips, "an exercise knows its usual slips"
        for slip, sentence in question.slips:
            text = slip if question.choices else typed(slip, question.name, system)
            verdict = judge(question, text, system)
            assert verdict.outcome == "slip" and sentence in verdict.sentence, (seed, text, verdict)
            if not question.choices:
                assert typed(question.answer, question.name, system) not in verdict.sentence


@pytest.mark.parametrize(("declared", "system"), CASES)
def test_wrong_or_missing_unit_is_told(declared, system):
    for seed in SEEDS:
        question = declared.question(seed, 0, system)
        if question.choices:
            assert judge(question, "what is not there", system).outcome == "unreadable"
            continue
        number = typed(question.answer, question.name, system).split()[0]
        row = names()[question.name]
        if KINDS[row.kind].si or row.kind == "fraction":
            bare = judge(question, number, system)
            assert bare.outcome == "unit", (number, bare)
            assert judge(question, f"{number} coats", system).outcome == "unit"
        assert judge(question, "", system).outcome == "unreadable"
        assert judge(question, "a lot", system).outcome == "unreadable"


@pytest.mark.parametrize(("declared", "system"), CASES)
def test_text_is_whole(declared, system):
    for seed in SEEDS:
        question = declared.question(seed, 0, system)
        assert question.ask and question.hints and question.way
        for text in (question.ask, question.way, *question.hints, *(s for _, s in question.slips)):
            assert "{" not in text and "nan" not in text and not long(text)
        assert declared.question(seed, 0, system) == question, "the same seed, the same numbers"
    asked = {declared.question(seed, turn, system).ask for seed in SEEDS for turn in range(3)}
    assert len(asked) > 3, "other seeds and other rounds give other numbers"


def test_unit_slips_and_decimal_point():
    question = Question(ask="", answer=54e-6, name="dry_film")
    assert judge(question, "54 mil").outcome == "unit"
    assert judge(question, "54 mm").outcome == "unit"
    assert judge(question, "540 µm").outcome == "unit"
    assert "10 times too large" in judge(question, "540 µm").sentence
    assert judge(question, "54 m²").outcome == "unit"
    assert judge(question, "60 µm").outcome == "wrong" and "too large" in judge(question, "60 µm").sentence
    assert judge(question, "2.13 mil").passed and judge(question, "0.054 mm").passed
    assert judge(Question(ask="", answer=0.55, name="volume_solids"), "55").outcome == "unit"
    assert judge(Question(ask="", answer=0.55, name="volume_solids"), "0.55").passed


def test_temperature_needs_its_own_tolerance():
    with pytest.raises(ValueError, match="within"):
        judge(Question(ask="", answer=294.15, name="temperature"), "21 °C")
    question = Question(ask="", answer=294.15, name="temperature", within=0.6)
    assert judge(question, "70 °F").passed and judge(question, "21").outcome == "unit"


def test_numbers_are_round_in_the_system_shown():
    for seed in range(30):
        us, metric = Draw(str(seed), "us"), Draw(str(seed), "metric")
        wet = quantities.in_unit(us.between("wet_film", "75 µm", "200 µm", "25 µm"), "wet_film", "us")
        assert wet == pytest.approx(round(wet), abs=1e-9) and 2.9 < wet < 8
        kept = quantities.in_unit(metric.between("wet_film", "75 µm", "200 µm", "25 µm"), "wet_film")
        assert kept % 25 == pytest.approx(0, abs=1e-6) or kept % 25 == pytest.approx(25, abs=1e-6)


def test_slips_that_look_like_the_answer_are_drawn_again():
    @exercise("test-confused", "")
    def make(draw):
        factor = draw.pick(1.0, 2.0)
        return Question(ask="", answer=1e-3, name="dry_film", slips=[(factor * 1e-3, "a slip")])

    try:
        assert make.question("1").slips[0][0] == 2e-3
    finally:
        del EXERCISES["test-confused"]


def test_attempt_keeps_tries_hints_and_rounds(tmp_path):
    attempt = Attempt(EXERCISES["film-1"], seed="garage")
    answer = typed(attempt.question.answer, "dry_film", "metric")
    assert not attempt.answer("1 m").passed
    assert "Hint 1 of" in attempt.hint() and answer not in attempt.said
    again = Attempt(EXERCISES["film-1"], seed="garage")
    assert (again.tries, again.hints_shown, again.passed) == (1, 1, False)
    assert "1 time" in again.said
    for _ in again.question.hints[1:]:
        again.hint()
    assert "After 2 more tries" in again.hint() and again.question.way not in again.said
    again.answer("1 m"), again.answer("1 m")
    assert again.question.way in again.hint()
    assert again.answer(answer).passed and "How it goes" in again.said
    again.another()
    assert not again.passed and again.round == 1
    assert Attempt(EXERCISES["film-1"], seed="garage").round == 1
    outcomes = [e.outcome for e in Progress().events("try", "film-1")]
    assert outcomes == ["wrong", "wrong", "wrong", "passed"]


def test_learner_seed_is_made_once_and_can_be_set():
    from coursekit import lesson

    first = lesson.seed()
    assert lesson.seed() == first
    assert lesson.seed("b-07") == "b-07" == lesson.seed()
    for bad in ("", 3.5, True, "x" * 41, ["a"]):
        with pytest.raises(quantities.InputError):
            lesson.seed(bad)
    assert lesson.exercise("film-1").question.ask == EXERCISES["film-1"].question("b-07").ask


def test_metric_or_us_is_kept_and_asks_in_it():
    from coursekit import lesson

    lesson.seed("b-07")
    lesson.units("us")
    assert unit_system.chosen() == "us" and " mil" in lesson.exercise("film-1").words
    lesson.units("metric")
    assert " µm" in lesson.exercise("film-1").words
    with refused("choice", "system"):
        lesson.units("imperial")


def test_unknown_keys_are_answered_in_words():
    from coursekit import lesson

    for call, key in (
        (lesson.exercise, "film-99"),
        (lesson.exercise, "nothing"),
        (lesson.bench, "../film"),
        (lesson.worked, "x"),
        (lesson.predict, "x"),
        (lesson.measure, "x"),
        (lesson.cautions, "x"),
        (lesson.glossary, "x"),
        (lesson.sources_of, "x"),
        (lesson.exercise, None),
        (lesson.bench, 3),
    ):
        with pytest.raises(quantities.InputError):
            call(key)


def test_nothing_written_is_asked_for_and_a_plain_number_is_asked_for_as_one():
    assert judge(Question(ask="", answer=54e-6, name="dry_film"), " ").sentence == "Write your answer first."
    for key, words in (("contours-3", "a plain number"), ("film-1", "with its unit")):
        view = AttemptView(lesson.exercise(key))
        assert words in view.place.children[0].children[0].value


def test_half_of_all_exercises_are_decisions_and_each_wrong_choice_has_a_reason_of_its_own():
    asked = {key: one.question("1") for key, one in all_exercises().items()}
    decisions = {key: question for key, question in asked.items() if question.choices}
    assert 2 * len(decisions) >= len(asked)
    for key, question in decisions.items():
        reasons = dict(question.slips)
        assert set(question.choices) - {question.answer} <= set(reasons), key
        assert len(set(reasons.values())) == len(reasons), f"{key} says one thing of two choices"


# --- the review, days later ---


def tried(key, day, *, passed):
    at = f"2026-03-{day:02d}T10:00:00+00:00"
    return Event(at, "try", key, "s", 0, "metric", "x", "passed" if passed else "slip")


def test_a_review_asks_failed_ones_first_then_the_oldest_and_mixes_lessons_and_decisions():
    now = datetime.fromisoformat("2026-03-20T10:00:00+00:00")
    events = [
        tried("film-1", 1, passed=True),
        tried("mix-1", 2, passed=False),
        tried("mix-1", 3, passed=True),
        tried("mix-3", 4, passed=True),
        tried("gun-2", 5, passed=False),
        tried("scratch-4", 6, passed=True),
        tried("prep-2", 20, passed=True),  # of today: not yet
        tried("no-such-1", 1, passed=False),
    ]
    assert due(events, now) == ["gun-2", "film-1", "mix-1", "scratch-4", "mix-3"]
    numbers = [
        tried(f"{key}-1", day, passed=True) for day, key in enumerate(("film", "mix", "plan", "gun", "hiding"), 1)
    ]
    choices = [tried(key, 9, passed=True) for key in ("start-2", "prep-4", "colour-4")]
    first = due([*numbers, *choices], now)[:5]
    assert sum(bool(EXERCISES[key].question("1").choices) for key in first) == 3, "half are decisions"
    spoilt = [tried("gun-2", 19, passed=True)._replace(at=at) for at in ("2026-03-1\ufffdT10", "2026-03-20T10:00:00")]
    assert [due([one], now) for one in spoilt] == [["gun-2"]] * 2, "a date that a damaged file spoilt is long ago"
    assert due([], now) == [] and "Nothing to review yet" in lesson.review().words


def test_a_review_has_numbers_of_its_own_and_is_the_same_all_day(tmp_path):
    first = lesson.exercise("gun-2")
    first.answer(first.question.slips[0][0])
    review = lesson.review()
    (asked,) = review.attempts
    assert asked.exercise.key == "gun-2" and asked.seed != first.seed and "What you failed" in review.words
    view = ReviewView(review)
    view.asked[0].answer.value = asked.question.answer
    view.asked[0].check()
    assert asked.passed and [one.passed for one in lesson.review().attempts] == [True]
    assert first.question.ask in lesson.exercise("gun-2").words, "the lesson's own numbers stay"
