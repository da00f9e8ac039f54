"""Every printed case in tests/published/*.toml, each with its own source, kind, tolerance and reason."""

import importlib
import tomllib
from pathlib import Path

import pytest

from coursekit.quantities import InputError
from coursekit.sources import sources
from coursekit.unit_grammar import NUMBER, unit_of

KINDS = {"published", "common practice, no source", "from memory", "derived"}
CASES = [
    pytest.param(case, id=f"{file.stem}-{number}-{case['call']}")
    for file in sorted((Path(__file__).parent / "published").glob("*.toml"))
    for number, case in enumerate(tomllib.loads(file.read_text(encoding="utf-8")).get("case", []), 1)
]


def number_and_unit(text):
    match = NUMBER.match(text)
    return float(match[1]), match[2].strip()


def call_of(case):
    module, name = case["call"].rsplit(".", 1)
    return getattr(importlib.import_module(f"coursekit.{module}"), name)


@pytest.mark.parametrize("case", CASES)
def test_published(case):
    assert case["source"] in sources(), case["source"]
    assert case["kind"] in KINDS
    if "refuses" in case:
        with pytest.raises(InputError) as refusal:
            call_of(case)(**case["with"])
        assert case["refuses"] in str(refusal.value)
        return
    got = call_of(case)(**case["with"])
    for field in case.get("field", "").split(".") if case.get("field") else ():
        got = got[int(field)] if field.isdigit() else getattr(got, field)
    assert case["reason"]
    expected, unit = number_and_unit(case["gives"])
    magnitude = got.m_as(unit_of(unit).pint_name or "dimensionless")
    width, width_unit = number_and_unit(case["within"])
    allowed = abs(expected) * width / 100 if width_unit == "%" and unit != "%" else width
    assert abs(magnitude - expected) <= allowed * (1 + 1e-9), (
        f"got {magnitude} {unit}; {case['source']} gives {case['gives']} within {case['within']}"
    )
    if "misprint" in case:  # what the source prints and must not be met
        wrong, wrong_unit = number_and_unit(case["misprint"])
        assert wrong_unit == unit and abs(magnitude - wrong) > allowed
