"""Each entry of the plan's form, given what nobody can use: one complaint with its remedy; what was typed stays."""

import itertools
import math

import pytest

from coursekit import errors
from coursekit.lesson.learner import unit_system
from coursekit.lesson.plan.entries import GIVEN, LONGEST, SHEETS, Table, fields_of
from coursekit.nomenclature import names
from coursekit.quantities import read
from coursekit.repair.steps import STEPS
from coursekit.unit_grammar import NUMBER

HUGE = "9" * 40
BAD = {
    "two separators": "4;1;1",
    "not a number": "nan",
    "infinite": "inf",
    "unicode minus": "\N{MINUS SIGN}7e3",
    "decimal comma": "1,5 kg",
    "too large for a float": "1e400 mm",
    "huge": f"{HUGE} mm",
    "no unit there is": "12 zorks",
    "over-long": "1+" * LONGEST,
    "code": "__import__('os').getcwd()",
}
PARTS = (*GIVEN, *SHEETS, *STEPS)
ENTRIES = [(part, key) for part in PARTS for key in fields_of(part)]
FREE = ("ratio",)  # text that the whole plan reads: `test_plan_form.py` has it


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))


def table_with(part, key):
    """The part as it stands, so that the entry counts."""
    table = Table(part)
    first, _, side = key.partition(".")
    if side:
        table.written[first] = "rectangle" if side in ("x", "y", "width", "height") else "around"
    return table


@pytest.mark.parametrize("system", unit_system.OPTIONS)
@pytest.mark.parametrize("part", PARTS)
def test_what_cannot_be_is_refused_where_it_was_typed_and_kept(part, system):
    with unit_system.shown_in(system):
        for key, (kind, text) in itertools.product(fields_of(part), BAD.items()):
            if key in FREE:
                continue
            table = table_with(part, key)
            others = {k: v for k, v in table.written.items() if k != key}
            table.set(key, text)
            place = f"{part}, {key}, {kind}"
            assert key in table.wrong, place
            assert table.shown(key, system) == table.written[key], place
            assert {k: v for k, v in table.written.items() if k != key} == others, place
            problem = table.wrong[key]
            said = errors.says(problem, errors.PYTHON._replace(system=system))
            assert said.count(". ") >= 1 and said.rstrip()[-1] in ".", f"{place}: {said}"
            assert len(said) < 420 and HUGE not in said, f"{place}: {said}"


@pytest.mark.parametrize("system", unit_system.OPTIONS)
def test_a_bare_number_is_taken_in_the_unit_that_is_shown_or_refused(system):
    with unit_system.shown_in(system):
        for part, key in ENTRIES:
            one = fields_of(part)[key]
            if one.reads != "quantity" or not names()[one.row].unit(system):
                continue
            table = table_with(part, key)
            table.set(key, "7")
            unit = names()[one.row].unit(system)
            assert table.written[key] == f"7 {unit}", f"{part}, {key}"


@pytest.mark.parametrize(("part", "key"), [one for one in ENTRIES if fields_of(one[0])[one[1]].reads == "quantity"])
def test_what_a_remedy_shows_can_be_written_and_is_of_a_fitting_size(part, key):
    """ "120 \N{MICRO SIGN}m" is a length, but no place on a panel."""
    row = names()[fields_of(part)[key].row]
    for example, system in zip(row.example.split(" or "), unit_system.OPTIONS, strict=False):
        text = example.strip('"')
        assert math.isfinite(float(read(float(text) if text == example else text, row.key)))
        unit = NUMBER.match(text)[2].strip()
        if row.kind == "length":
            assert unit == row.unit(system), f"{part}, {key}: {example}"


WARM = [
    ("metric", "68", "68 °F"),
    ("metric", "95", "95 °F"),
    ("us", "-25", "-25 °C"),
    ("metric", "150", ""),
    ("us", "300 °F", ""),
]


@pytest.mark.parametrize(("system", "text", "meant"), WARM)
@pytest.mark.parametrize(
    ("part", "key"), [("garage", "temperature"), ("forecast", "coldest"), ("forecast", "warmest")]
)
def test_a_temperature_that_no_garage_has_is_asked_for_on_the_other_scale(part, key, system, text, meant):
    table = Table(part)
    with unit_system.shown_in(system):
        table.set(key, text)
        said = table.errors[key]
        assert "range" in said
        assert (f'write the unit too: "{meant}"' in said) if meant else "If you mean" not in said
    if meant:
        table.set(key, meant)
        assert key not in table.errors


def test_a_decimal_comma_in_a_density_is_no_list_of_two():
    table = Table("surfacer")
    table.set("densities", "1,2 kg/L")
    assert "comma" in table.errors["densities"]
    for text in ("1.2, 1.05", "1.2,1.05", "1 kg/L, 2 kg/L"):
        table.set("densities", text)
        assert not table.errors, text
