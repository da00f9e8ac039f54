"""The damage as a learner writes it down: every key may be left out, whatever is wrong is told with its line."""

import dataclasses
import re
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coursekit import errors
from coursekit.panel import SHAPES
from coursekit.quantities import InputError
from coursekit.repair import damage, recipe
from tests.calls import refused

WHOLE = """format = 1
title = "Fender, scraped"
[panel]
kind = "fender"
sheet = "aluminium"
old_paint = "6 mil"
[damage]
x = "400 mm"
y = "16 in"
width = "8 in"
height = "100 mm"
depth = "0.5 mm"
reaches = "bare"
on_it = "unknown"
[garage]
temperature = "59 °F"
supplied_air = "yes"
extraction = "unknown"
[forecast]
coldest = "10 °C"
warmest = "18 °C"
begins = "09:00"
[stock]
papers = ["P80", "P180", "P320"]
tools = ["hand block", "long board"]
materials = ["filler", "surfacer"]
[gun]
fluid_delivery = "unknown"
fan_width = "220 mm"
[wish]
least = "paint"
[material.surfacer]
pot_life = "45 min"
[[hours]]
day = "Saturday"
from = "09:00"
to = "18:00"
"""


def test_nothing_said_is_a_damage_with_defaults():
    found = damage.loads("format = 1\n")
    assert found.panel.kind == "door" and found.damage.reaches == "bare"
    assert found.corner == pytest.approx(((1.2 - 0.25) / 2, 0.3 + (0.5 - 0.15) / 2)), "in the middle, off the line"
    assert {"damage.depth", "garage.temperature", "stock.papers"} <= set(found.taken)


def test_what_is_said_is_read_and_what_is_unknown_is_told():
    found = damage.loads(WHOLE)
    assert found.panel.kind == "front wing" and found.panel.made_of == "aluminium"
    assert damage.sheet_of(found.panel) == "steel"
    assert found.corner == pytest.approx((0.4, 0.4064)) and found.damage.width == pytest.approx(0.2032)
    assert found.garage.temperature == pytest.approx(288.15) and found.garage.extraction == "no"
    assert [str(paper) for paper in found.stock.papers] == ["P80", "P180", "P320"]
    assert found.gun.fan_width == pytest.approx(0.22) and not found.gun.measured
    assert found.hours == (damage.Hours(day=5, begins=9 * 3600.0, ends=18 * 3600.0),)
    assert {"garage.extraction", "damage.on_it", "gun.fluid_delivery"} <= set(found.taken)
    assert "damage.depth" not in found.taken


@pytest.mark.parametrize(("system", "words"), [("metric", "1 m wide"), ("us", "39.37 in wide")])
def test_how_large_a_panel_is_is_said_in_the_readers_units(system, words):
    with pytest.raises(InputError) as caught:
        damage.loads('format = 1\n[panel]\nkind = "front wing"\n[damage]\nx = "900 mm"\n')
    assert words in errors.says(caught.value.problems[0], errors.PYTHON._replace(system=system))


@pytest.mark.parametrize("kind", damage.KINDS)
def test_every_panel_has_a_shape_and_a_damage_in_its_middle(kind):
    found = damage.loads(f'format = 1\n[panel]\nkind = "{kind}"\n[damage]\nwidth = "150 mm"\nheight = "80 mm"\n')
    assert found.shape.name == kind and kind in SHAPES
    assert found.panel.made_of == ("plastic" if kind == "bumper" else "steel")


# (what is written, what stands in its place, line of the complaint, its place, part of it, part of the remedy)
BROKEN = {
    "table": ("[panel]", "[pannel]", 3, "pannel", "not a key", "Did you mean panel"),
    "key": ("depth =", "dept =", 12, "damage.dept", "not a key", "Did you mean depth"),
    "kind": ('"fender"', '"fendr"', 4, "panel.kind", "not one of", "front wing"),
    "unit": ('"0.5 mm"', '"0.5 s"', 12, "damage.depth", "not a length", "length"),
    "bare number": ('"0.5 mm"', "0.5", 12, "damage.depth", "no unit", "length"),
    "list": ('"0.5 mm"', '["0.5 mm"]', 12, "damage.depth", "not one value", "one number"),
    "off the panel": ('x = "400 mm"', 'x = "900 mm"', 7, "damage", "does not lie", "m wide"),
    "in the arch": ('y = "16 in"', 'y = "0 mm"', 7, "damage", "cut out", "arch"),
    "paper": ('"P320"]', '"P321x"]', 24, "stock.papers", "P321x", ""),
    "tool": ('"long board"]', '"long bord"]', 25, "stock.tools", "long bord", ""),
    "not a list": ('["filler", "surfacer"]', '"filler"', 26, "stock.materials", "not a list", '["…", "…"]'),
    "clock": ('"18:00"', '"25:00"', 37, "hours.1.to", "not a time", "08:30"),
    "backwards": ('"18:00"', '"08:00"', 37, "hours.1.to", "not after", "two spans"),
    "no day": ('day = "Saturday"\n', "", 34, "hours.1.day", "missing", "day, from and to"),
    "forecast": ('warmest = "18 °C"\n', "", 19, "forecast.warmest", "missing", "12 °C"),
    "upside down": ('coldest = "10 °C"', 'coldest = "30 °C"', 20, "forecast.coldest", "above", "Exchange"),
    "material": ("pot_life", "potlife", 33, "material.surfacer.potlife", "not a key", "pot_life"),
    "format": ("format = 1", "format = 3", 1, "format", "is 3", "format = 1"),
    "title": ('"Fender, scraped"', "3", 2, "title", "not a short text", "title"),
}


@pytest.mark.parametrize("case", BROKEN.values(), ids=BROKEN)
def test_a_complaint_names_line_place_and_remedy(case):
    was, now, line, place, problem, remedy = case
    assert was in WHOLE
    with pytest.raises(InputError) as caught:
        damage.loads(WHOLE.replace(was, now, 1), "mine.toml")
    said = str(caught.value)
    assert f"mine.toml, line {line}, {place}" in said, said
    assert problem in said and remedy in said, said


def test_a_line_on_a_panel_without_one_is_refused():
    with refused("place", "line_height"):
        damage.loads('format = 1\n[panel]\nkind = "roof"\nline_height = "500 mm"\n')


@settings(max_examples=200, deadline=None)
@given(st.sampled_from([line for line in WHOLE.splitlines() if " = " in line]), st.text(max_size=12))
def test_whatever_is_written_in_a_value_is_read_or_refused(line, text):
    quoted = '"' + "".join(c for c in text if c.isprintable() and c not in '"\\') + '"'
    changed = WHOLE.replace(line, f"{line.partition(' = ')[0]} = {quoted}", 1)
    try:
        found = damage.loads(changed)
    except InputError as error:
        assert error.remedy and len(str(error)) < 700
    else:
        assert dataclasses.is_dataclass(found)


def test_the_example_that_is_shipped_has_every_key_with_its_default_and_its_choices():
    text = recipe.demo_path("damage").read_text(encoding="utf-8")
    shown, nothing = damage.loads(text), damage.loads("format = 1\n")
    assert dataclasses.replace(shown, taken=()) == dataclasses.replace(nothing, taken=())
    tables, lines = tomllib.loads(text), dict(re.findall(r"(?m)^(\w+) = (.*)$", text))
    for part, kind in damage._TABLES.items():
        assert set(tables[part]) == {one.name for one in dataclasses.fields(kind)}, part
        for one in dataclasses.fields(kind):
            if one.metadata["reads"] == "choice" and set(one.metadata["of"]) - {"yes", "no"}:
                assert all(choice in lines[one.name] for choice in one.metadata["of"]), one.name
    for line in text.splitlines():  # what a comment shows can be written
        key, _, comment = line.partition(" = ")
        if sample := re.search(r'# (\[.*\]|"[^"]*")', comment):
            part = next(name for name, table in tables.items() if isinstance(table, dict) and key in table)
            both = '\nwarmest = "40 °C"' if key == "coldest" else '\ncoldest = "1 °C"' if key == "warmest" else ""
            damage.loads(f"format = 1\n[{part}]\n{key} = {sample[1]}{both}\n")
    hours = text.partition("# [[hours]]\n")[2].partition("\n\n")[0].replace("# ", "")
    assert damage.loads(f"format = 1\n[[hours]]\n{hours}\n").hours == (
        damage.Hours(day=5, begins=9 * 3600.0, ends=18 * 3600.0),
    )
