"""The public call as an object, and the look of what it gives."""

import copy
import pickle
from typing import NamedTuple

import pytest

from coursekit import InputError, film, panel, repair, sanding, spraying
from coursekit.belief import band
from coursekit.quantities import in_range, public
from coursekit.uncertain import Band
from tests.calls import fair_arguments, public_calls

CALLS = [pytest.param(path, call, id=path) for path, call in public_calls()]


@pytest.mark.parametrize(("path", "call"), CALLS)
def test_a_call_says_what_it_is(path, call):
    assert repr(call).startswith(f"{path}(") and " → " in repr(call)
    assert call.path == path
    assert pickle.loads(pickle.dumps(call)) is call


@pytest.mark.parametrize(
    ("given", "words", "argument", "told"),
    [
        ((), {"wet": "120 µm", "volume_solids": "45 %"}, "wet", "film.dry_film. Did you mean wet_film?"),
        ((), {"wet_film": "1 mil", "volume_solid": "45 %"}, "volume_solid", "Did you mean volume_solids?"),
        ((), {"wet_film": "1 mil", "volume_solids": 1, "grit": 3}, "grit", "Write film.dry_film(wet_film, "),
        (("1 mil",), {}, "volume_solids", "is not given to film.dry_film"),
        ((), {}, "wet_film", "is not given to film.dry_film"),
        (("1 mil", "45 %", 3), {}, "film.dry_film", "takes 2 arguments"),
        (("1 mil", "45 %"), {"wet_film": "2 mil"}, "wet_film", "is given twice"),
    ],
)
def test_arguments_that_do_not_fit(given, words, argument, told):
    with pytest.raises(InputError) as refusal:
        film.dry_film(*given, **words)
    assert refusal.value.argument == argument and told in str(refusal.value)


def test_lists_of_unequal_length():
    with pytest.raises(InputError) as refusal:
        film.dry_film(["1 mil", "2 mil"], ["45 %", "50 %", "55 %"])
    assert refusal.value.argument == "wet_film, volume_solids"


def test_another_error_of_a_formula_is_not_taken_for_unequal_lists():
    @public(gives="dry_film")
    def broken(wet_film):
        raise ValueError("could not be broadcast, it says")

    with pytest.raises(ValueError, match="it says") as fault:
        broken(["1 mil", "2 mil"])
    assert not isinstance(fault.value, InputError)


class Both(NamedTuple):
    dry: object
    share: object
    word: str
    inner: object = None


@public(gives={"dry": "dry_film", "share": "volume_solids"})
def both(wet_film):
    in_range("wet_film", wet_film, 0, 1e-3)
    return Both(wet_film / 2, 0.45, "<b>", film.comb_teeth("120 µm"))


def test_a_result_prints_one_line_a_field():
    assert repr(both("100 µm")).splitlines() == [
        "Both",
        "  dry       50 µm   dry film",
        "  share     45\N{NARROW NO-BREAK SPACE}%    volume solids",
        "  word      <b>",
        "  inner",
        "    wetted  100 µm  highest wetted tooth",
        "    dry     125 µm  next dry tooth",
    ]
    html = both("100 µm")._repr_html_()
    assert html.count("<tr>") == 6 and "&lt;b&gt;" in html and "<b>" not in html


@pytest.mark.parametrize(("path", "call"), [case for case in CALLS if case.values[1].first])
def test_a_result_of_many_fields_prints_those_asked_for_first(path, call):
    found = call(**fair_arguments(path, call))
    head, *lines, last = repr(found).splitlines()
    assert head == type(found).__name__ and len(lines) == len(call.first) <= 10
    assert [line.split()[0] for line in lines] == list(call.first)
    assert last.split() == ["…", "and", str(len(leaves(found.to_dict())) - len(lines)), "more:", ".to_dict()"]
    html = found._repr_html_()
    assert html.count("<tr>") == len(lines) + 1 and ".to_dict()" in html
    for again in (pickle.loads(pickle.dumps(found)), copy.copy(found)):
        assert repr(again) == repr(found)


def leaves(of):
    """The values of a result and of results within; a band is one, as it is printed."""
    found = []
    for value in of.values():
        within = isinstance(value, dict) and list(value) != list(Band._fields)
        found += leaves(value) if within else [value]
    return found


def test_a_setting_of_the_gun_prints_the_figures_of_a_painter():
    call = spraying.spray_setting
    found = call(**fair_arguments("spraying.spray_setting", call))
    values = dict(line.split(maxsplit=1) for line in repr(found).splitlines()[1:-1])
    assert values["dry_film"] == f"{found.dry_film.m:.1f} µm" and values["passes"] == f"{found.passes.m:.0f}"
    transfer = found.account.transfer_efficiency.m
    assert values["account.transfer_efficiency"] == f"{100 * transfer:.1f}\N{NARROW NO-BREAK SPACE}%"
    assert values["air_use"].startswith(f"{found.air_use.m_as('L/min'):.0f} L/min")
    text = repr(call(**{**fair_arguments("spraying.spray_setting", call), "turns": [1, 2, 3]}))
    assert len(text.splitlines()) == 12 and "3 values" in text.splitlines()[1]
    text = repr(band(call, **fair_arguments("spraying.spray_setting", call)))
    assert len(text.splitlines()) == 12 and "middle" in text.splitlines()[1]


def test_a_list_in_a_result_prints_its_ends():
    lines = repr(both([f"{n} µm" for n in range(100, 600)])).splitlines()
    assert any("50 to 300 µm, 500 values" in line for line in lines)


def test_a_result_turns_into_a_dict():
    found = both("100 µm").to_dict()
    assert found["dry"].to("mil").magnitude == pytest.approx(50 / 25.4) and found["word"] == "<b>"
    assert set(found["inner"]) == {"wetted", "dry"}


def test_a_result_is_still_the_named_tuple():
    found = both("100 µm")
    dry, *_ = found
    assert isinstance(found, Both) and found.dry == dry and found._replace(word="x").word == "x"
    for again in (pickle.loads(pickle.dumps(found)), copy.copy(found), copy.deepcopy(found)):
        assert again == found and repr(again) == repr(found)
    assert type(both.si(1e-4)) is Both


def test_bands_in_a_result():
    found = sanding.scratch_depth("P320", "10 kPa", "200 MPa")
    assert " to " in found._told()[0].value and "middle" in found._told()[0].value


@pytest.mark.parametrize(("path", "call"), CALLS)
def test_no_result_prints_at_length(path, call):
    text = repr(call(**fair_arguments(path, call)))
    assert len(text) < 6000 and all(len(line) < 400 for line in text.splitlines()), text[:2000]


def test_a_panel_and_a_step_played_print_no_array():
    played = repair.replay(repair.loads(CARD))
    start = played.start
    for thing in (panel.door(), start, start.layers[0], panel.door().lines[0], played[0], played[0].used):
        text = repr(thing)
        assert len(text) < 2000 and "array(" not in text and all(len(line) < 200 for line in text.splitlines()), text
        assert thing._repr_html_().count("<tr>") == len(text.splitlines()) - 1
    assert "dents" in repr(start) and "cells" in repr(start)


CARD = """
format = 2
[panel]
shape = "test card"
[[step]]
do = "clean"
"""
