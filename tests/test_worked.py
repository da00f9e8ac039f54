"""Every worked example is carried out and compared with what was worked out by hand."""

import importlib
import re

import pytest

from coursekit.lesson.learner import unit_system
from coursekit.lesson.learner.both_systems import in_one
from coursekit.lesson.practice import examples
from coursekit.lesson.practice.prediction import Prediction
from coursekit.lesson.practice.view import WorkedView
from coursekit.nomenclature import KINDS, names
from coursekit.quantities import read, read_text
from coursekit.unit_grammar import NUMBER, unit_of
from tests.calls import refused

STEPS = [
    pytest.param(example, number, id=f"{key}-{number + 1}")
    for key, example in examples.worked_examples().items()
    for number in range(len(example.steps))
]


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))


@pytest.mark.parametrize(("example", "number"), STEPS)
def test_step_gives_what_was_worked_out_by_hand(example, number):
    step, done = example.steps[number], example.run()[number]
    if not done.name or names()[done.name].kind not in KINDS:
        assert str(done.result) == step["gives"]
        return
    kind = names()[done.name].kind
    expected, room = read_text(step["gives"], kind, "gives"), NUMBER.match(step["within"])
    width = float(room[1]) * unit_of(room[2].strip()).factor
    assert 0 < width <= 0.1 * abs(expected), "a tolerance that could not fail proves nothing"
    assert abs(done.result - expected) <= width * (1 + 1e-9), f"{done.code} gives {done.text}"


@pytest.mark.parametrize("example", examples.worked_examples().values(), ids=lambda e: e.key)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_shown_in_both_systems(example, system):
    unit_system.choose(system)
    assert example.title and "{" not in example.words and "nan" not in example.words
    assert "<script" not in example.html and example.steps


@pytest.mark.parametrize("system", ["metric", "us"])
def test_code_of_a_step_runs_as_it_is_shown(system):
    """Typed by a learner into an empty notebook, it gives the result that stands beside it, but for its rounding."""
    for example in examples.worked_examples().values():
        for done in example.run(system):
            trade = done.code.split(".")[0]
            got = eval(done.code, {trade: importlib.import_module(f"coursekit.{trade}")})  # the project's own text
            if done.name and names()[done.name].kind in KINDS:
                assert read(got, done.name) == pytest.approx(done.result, rel=0.01), done.code
            else:
                assert str(got) == str(done.result), done.code


def test_unknown_example():
    with refused("unknown", "worked"):
        examples.example("film-99")


METRIC = re.compile(
    r"\d[\s\N{NARROW NO-BREAK SPACE}]?"
    r"(?:mm|cm|m|mm²|cm²|m²|m³|°C|K|mL|L|bar|kPa|kg|N|mL/min|L/min|m/s|mm/s|m²/L|kg/L)(?![\w/²³·])"
)
US = re.compile(r"\d (?:mil|ft|sq ft|fl oz|fl oz/min|scfm|ft/s|°F|psi|lbf)\b")
GRAINS_AND_DROPS = re.compile(
    r"(?:[Gg]rain|[Dd]rop|[Mm]ist|Rizk|Kim|Nukiyama)"
)  # in micrometres wherever they are sold


def told(example):
    """What is said, without the calls."""
    given, rows = example._parts()
    return [given, *(part for say, _, text, then in rows for part in (say, text, then))]


@pytest.mark.parametrize("example", examples.worked_examples().values(), ids=lambda e: e.key)
def test_an_example_stays_in_one_system_from_first_to_last_number(example):
    with unit_system.shown_in("us"):
        said = " | ".join(told(example))
        assert not METRIC.search(said), METRIC.search(said)
        assert " µm" not in said or GRAINS_AND_DROPS.search(said)
    with unit_system.shown_in("metric"):
        said = " | ".join(told(example))
        assert not US.search(said) or example.key == "sheet-2", US.search(said)  # a sheet that speaks of mils


@pytest.mark.parametrize("key", sorted(examples.load_rows("predictions")))
def test_a_prediction_stays_in_one_system_from_first_to_last_number(key):
    asked = Prediction(key, examples.load_rows("predictions")[key])
    for system, other in (("us", METRIC), ("metric", US)):
        with unit_system.shown_in(system):
            said = " ".join([asked.ask, *asked.shown_choices, asked.why, in_one(asked.answer(), system)])
            assert not other.search(said), (system, other.search(said))


def test_of_both_systems_one_is_shown():
    text = "Lay 120 µm (4.7 mil), 10 to 40 µm (0.4 to 1.6 mil) or [3 m/s × 2 s|10 ft/s × 2 s] (a plain remark)."
    assert in_one(text, "metric") == "Lay 120 µm, 10 to 40 µm or 3 m/s × 2 s (a plain remark)."
    assert in_one(text, "us") == "Lay 4.7 mil, 0.4 to 1.6 mil or 10 ft/s × 2 s (a plain remark)."


FADED = [example for example in examples.worked_examples().values() if example.yours]


@pytest.mark.parametrize("example", FADED, ids=lambda e: e.key)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_a_step_of_the_learners_waits_for_its_result(example, system):
    unit_system.choose(system)
    mine, done = example.fresh(), example.run(system)
    assert mine.yours == list(range(len(mine.steps)))[mine.yours[0] :] and mine.yours[0] > 0, "only steps at the end"
    for number in mine.yours:
        assert mine.waiting == number and "Your step" in mine.words and done[number].code not in mine.words
        assert str(done[number].code) not in mine.html and mine.html.count("<li>") == number + 1
        assert "Not yet" in mine.answer("0.000123") and mine.waiting == number
        assert "passed" in mine.answer(done[number].text) and done[number].code in mine.words
    assert mine.waiting is None and "Your step" not in mine.words
    assert example.folded.count("<details>") == len(example.yours)


def test_at_least_ten_lessons_fade_their_examples():
    assert len({example.key.rpartition("-")[0] for example in FADED}) >= 10


def test_a_step_that_does_not_come_can_be_shown_on_the_page():
    view = WorkedView(examples.example("pattern-1"))
    assert view.place.children and "37.2" not in view.steps.value
    view.answer.value = "12 kg"
    view.check()
    assert "Not yet" in view.said.value and view.worked.waiting == 2
    view.show()
    assert not view.place.children and "37.2 s" in view.steps.value and not view.said.value
    unit_system.choose("us")
    assert "32 in" in view.steps.value and "0.8 m" not in view.steps.value
