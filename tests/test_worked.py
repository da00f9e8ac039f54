"""Every worked example is carried out and compared with what was worked out by hand."""

import pytest

from coursekit.lesson.learner import unit_system
from coursekit.lesson.practice import examples
from coursekit.nomenclature import KINDS, names
from coursekit.quantities import read_text
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


def test_code_of_a_step_runs_as_it_is_shown():
    from coursekit import film, mixing, spraying  # noqa: F401 – named by the code

    for example in examples.worked_examples().values():
        for done in example.run():
            if done.code.split(".")[0] in ("film", "mixing", "spraying"):
                got = eval(done.code)  # the project's own text
                assert got is not None


def test_unknown_example():
    with refused("unknown", "worked"):
        examples.example("film-99")
