"""Glossary, cautions, sources, predictions: the pages beside the benches, in both systems."""

import re

import pytest

from coursekit import lesson, quantities
from coursekit.lesson.learner import unit_system
from coursekit.lesson.learner.both_systems import in_one
from coursekit.lesson.learner.progress import Progress
from coursekit.lesson.pages.cautions import _cautions
from coursekit.lesson.practice import examples
from coursekit.lesson.practice.prediction import Prediction, prediction
from coursekit.lesson.workbench.bench import TRIED
from coursekit.quantities import InputError

TRADES = ["film", "mixing", "sanding", "spraying", "spraying.air_supply", "drying", "colour", "garage"]
PREDICTIONS = sorted(examples.load_rows("predictions"))


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))


@pytest.mark.parametrize("trade", TRADES)
def test_glossary_and_sources_of_every_trade(trade):
    words, sources = lesson.glossary(trade).text, lesson.sources_of(trade).text
    assert "_" not in words.splitlines()[0]
    assert len(words.splitlines()) > 3 and len(sources.splitlines()) > 3
    for line in sources.splitlines()[1:]:
        if line.count(" | ") == 2:
            assert line.split(" | ")[2], f"{line}: a call without its source"


def test_glossary_speaks_the_system_that_was_chosen():
    assert "| µm |" in lesson.glossary("film").text
    unit_system.choose("us")
    assert "| mil |" in lesson.glossary("film").text and "| µm |" not in lesson.glossary("film").text
    assert len(lesson.glossary().text.splitlines()) > len(lesson.glossary("film").text.splitlines())


def test_cautions_end_with_no_permission_and_escape():
    for topic in _cautions():
        text = lesson.cautions(topic).text
        assert "nothing that is computed here is permission" in text and text.count("\n- ") >= 2
    assert 'role="note"' in lesson.cautions().html
    assert "not give breathing air" in lesson.cautions("isocyanate").text


@pytest.mark.parametrize("key", PREDICTIONS)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_every_prediction_is_kept_first_and_answered_after_trying(key, system):
    unit_system.choose(system)
    asked = prediction(key)
    assert "Predict first" in asked.compare()
    guess = asked.choices[-1] if asked.choices else _read_off(asked.answer())[-1]
    assert "Kept" in asked.predict(guess)
    if asked.bench:
        TRIED.discard(asked.bench)
        assert "Move a slider" in asked.compare() and asked.why not in asked.said
        bench = lesson.bench(asked.bench)
        bench.move({})
    told = asked.compare()
    assert asked.why in told and in_one(asked.answer(), system) in told
    if asked.choices:
        assert asked.answer() in asked.choices
    assert prediction(key).kept == asked.kept, "kept over a restart"
    with pytest.raises(InputError):
        asked.predict("none of them")


def test_prediction_of_a_number_needs_its_unit():
    row = {"ask": "?", "why": "because", "name": "dry_film", "bench": "film", "figure": "dry", "times": 1.2}
    asked = Prediction("number", row)
    TRIED.add("film")
    asked.predict("50")
    assert asked.kept == "50 µm" and "That holds: the bench gives 54 µm. because" in asked.compare()
    with pytest.raises(InputError):
        asked.predict("50 kg")
    assert [e.answer for e in Progress().events("prediction", "number")] == ["50 µm"]
    assert asked.right("64 µm") and not asked.right("66 µm") and not asked.right("both the same")


NUMBERS = [key for key in PREDICTIONS if "name" in examples.load_rows("predictions")[key]]


def test_a_third_of_the_predictions_are_numbers():
    assert 3 * len(NUMBERS) >= len(PREDICTIONS)


@pytest.mark.parametrize("key", NUMBERS)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_a_number_is_right_as_the_bench_says_it_and_usual_wrong_ones_have_their_own_reason(key, system):
    """The right one as it is read off the bench, to its digits; wrong ones at both ends of where they lie."""
    unit_system.choose(system)
    asked = prediction(key)
    TRIED.add(asked.bench)
    for said in _read_off(asked.answer()):
        asked.predict(said)
        assert "That holds" in asked.compare(), (said, asked.said)
    reasons = [in_one(one["why"], system) for one in asked.row["wrong"]]
    assert len(set(reasons)) == len(reasons) >= 2 and asked.why not in reasons
    for one, reason in zip(asked.row["wrong"], reasons, strict=True):
        for end in {"from", "to"} & set(one):
            value = quantities.read(one[end], asked.row["name"])
            inward = value * (1.001 if end == "from" else 0.999)
            asked.predict(quantities.shown(inward, asked.row["name"], system, 6))
            assert reason in asked.compare() and "That holds" not in asked.said, (one, asked.said)
        spread = asked.computed
        assert not spread.low <= inward <= spread.high


def _read_off(answer):
    """Both ends of a band, or the one number, each with its unit."""
    numbers = re.findall(r"[\d.]+", answer)
    unit = answer.split(numbers[-1])[1]
    return [number + unit for number in numbers]
