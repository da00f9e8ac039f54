"""Help and reference of the public calls: what they say of arguments and ranges is what the door does."""

import inspect
import io
import pydoc
import re

import numpy as np
import pytest

from coursekit import describing, film, reference
from coursekit.__main__ import main
from coursekit.errors import InputError
from coursekit.nomenclature import KINDS, names
from coursekit.quantities import in_unit
from tests.calls import TRADES, public_calls

CALLS = [pytest.param(path, call, id=path) for path, call in public_calls()]


def test_every_call_has_an_example_and_every_example_a_call():
    paths = {path for path, _ in public_calls()}
    missing, left = sorted(paths - set(describing.examples())), sorted(set(describing.examples()) - paths)
    assert not missing, f"no example in tables/examples/ of: {', '.join(missing)}"
    assert not left, f"examples of no call: {', '.join(left)}"


def numbers(value):
    if isinstance(value, str) or value is None:
        return
    if hasattr(value, "magnitude"):
        yield from np.ravel(np.asarray(value.magnitude, dtype=float))
    elif isinstance(value, list | tuple):
        for part in value:
            yield from numbers(part)
    elif isinstance(value, int | float):
        yield value


@pytest.mark.parametrize(("path", "call"), CALLS)
def test_the_example_runs_and_is_shown(path, call):
    found = describing.run(call)
    assert not any(np.isnan(number) for number in numbers(found))
    help_text = inspect.getdoc(call)
    assert f">>> {path}(" in help_text and help_text.startswith(inspect.getdoc(call.si).splitlines()[0])
    typed = re.search(r"^>>> (.*)$", help_text, re.MULTILINE)[1]
    again = eval(typed, {trade: __import__(f"coursekit.{trade}", fromlist=["x"]) for trade in TRADES})
    assert repr(again) == repr(found)


@pytest.mark.parametrize(("path", "call"), CALLS)
def test_help_says_of_each_argument_what_its_row_says(path, call):
    told = {one.name: one for one in describing.described(call).arguments}
    remarks = describing.remarks(call)
    for name, parameter in inspect.signature(call.si).parameters.items():
        row, one = names()[name], told[name]
        assert row.label in one.meaning and f"{name} : {one.kind}" in inspect.getdoc(call)
        assert bool(one.usual) == (parameter.default is not parameter.empty)
        if row.kind in KINDS:
            low, high = describing.narrowed(row, remarks.get(name, describing.Remark()))
            assert row.low <= low < high <= row.high, f"{path}: {name}"
            assert one.range, f"{path}: {name}"
    for word in ("Gives", "Raises", "Source:"):
        assert word in describing.described(call).rest, f"{path}: help has lost {word!r}"


@pytest.mark.parametrize(("path", "call"), CALLS)
def test_a_docstring_adds_only_what_the_row_does_not_say(path, call):
    for name, remark in describing.remarks(call).items():
        row = names()[name]
        assert remark.words not in (row.label, row.meaning), f"{path}: {name}: its row says so already"
        if remark.range:
            low, high = describing._ends(remark.range, row)
            slack = 1e-9 * (row.high - row.low)
            assert row.low - slack <= low < high <= row.high + slack, f"{path}: {name}: {remark.range} is refused"
            assert (low, high) != (row.low, row.high), f"{path}: {name}: its row says {remark.range} already"


NARROWER = [
    pytest.param(call, name, value, id=f"{path}-{name}-{side}")
    for path, call in public_calls()
    for name in inspect.signature(call.si).parameters
    if names()[name].kind in KINDS
    for row in [names()[name]]
    for low, high in [describing.narrowed(row, describing.remarks(call).get(name, describing.Remark()))]
    for side, value in (("low", low - 0.01 * (low - row.low)), ("high", high + 0.01 * (row.high - high)))
    if (side == "low" and low > row.low + 1e-6 * (row.high - row.low))
    or (side == "high" and high < row.high - 1e-6 * (row.high - row.low))
]


@pytest.mark.parametrize(("call", "name", "value"), NARROWER)
def test_a_narrower_range_of_a_call_is_kept(call, name, value):
    unit = names()[name].metric
    shown = float(in_unit(value, name))
    given = {**describing.examples()[call.path], name: f"{shown!r} {unit}".strip()}
    with pytest.raises(InputError):
        call(**given)


@pytest.mark.parametrize("trade", TRADES)
def test_the_page_of_a_trade_lists_its_calls(trade):
    text, html = str(reference.page(trade)), reference.page(trade).html
    for call in reference.public_calls(trade).values():
        assert repr(call) in text and describing.described(call).what in text
    assert html.count("<details>") == len(reference.public_calls(trade)) and "<script" not in html


def test_the_page_is_printed_from_the_command_line(capsys):
    assert main(["reference", "film"]) == 0
    assert ">>> film.dry_film(" in capsys.readouterr().out
    assert main(["reference", "flim"]) == 2
    assert "is no part of the course" in capsys.readouterr().err


def test_help_of_a_trade_shows_its_calls_as_functions():
    output = io.StringIO()
    pydoc.Helper(output=output).help(film)
    text = output.getvalue()
    assert "FUNCTIONS" in text and "dry_film(wet_film" in text and "Dry film that a wet film leaves." in text
