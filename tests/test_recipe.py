"""The strict reader of recipes: every complaint names the line, the field and the remedy."""

import pytest

from coursekit import repair
from coursekit.quantities import InputError
from tests.calls import refused
from tests.test_repair import CARD, GOOD, HEAD


@pytest.fixture(scope="module")
def card():
    return repair.loads(HEAD + CARD, "card.toml")


# (what is written, what to put in its place, line of the complaint, field, part of the problem, part of the remedy)
BROKEN = {
    "unknown table": ("[panel]", "[pannel]", 4, "pannel", "not a key", "Did you mean panel?"),
    "unknown key": ("cell = ", "cel = ", 6, "panel.cel", "not a key", "Did you mean cell?"),
    "unknown step key": ("wipes = 2", "wipe = 2", 9, "step.1.wipe", "not a key", "Did you mean wipes?"),
    "far key": ("wipes = 2", "zzz = 2", 9, "step.1.zzz", "not a key", "Keys here: do, wipes"),
    "no format": ("format = 2\n", "\n", 1, "format", "is missing", "format = 2"),
    "other format": ("format = 2", "format = 3", 1, "format", "is 3", "format = 2"),
    "format yes": ("format = 2", "format = true", 1, "format", "is True", "format = 2"),
    "wrong unit": ('"10 mm"', '"10 s"', 6, "panel.cell", "not a length", "Write a length"),
    "no unit": ('"10 mm"', "10", 6, "panel.cell", "no unit", "Write a length"),
    "no such unit": ('"10 mm"', '"10 mmm"', 6, "panel.cell", "not a recognised unit", "Write a length"),
    "comma": ('"10 mm"', '"0,5 mm"', 6, "panel.cell", "comma", '"0.5 mm"'),
    "out of range": ('"10 mm"', '"10 m"', 6, "panel.cell", "above the range", ""),
    "list": ('"10 mm"', '["5 mm", "10 mm"]', 6, "panel.cell", "not one value", "one number"),
    "table": ('"10 mm"', "{ a = 1 }", 6, "panel.cell", "not one value", "one number"),
    "yes": ('"10 mm"', "true", 6, "panel.cell", "bool", "Write it as text"),
    "other shape": ('"test card"', '"dor"', 5, "panel.shape", "not one of its choices", "door"),
    "shape a number": ('"test card"', "3", 5, "panel.shape", "not one of its choices", "door"),
    "line on a card": (
        '"10 mm"',
        '"10 mm"\nline_height = "50 mm"',
        7,
        "panel.line_height",
        "has no body line",
        "Leave",
    ),
    "too small": (
        '"10 mm"',
        '"10 mm"\nheight = "15 mm"',
        7,
        "panel.height",
        "15 mm does not fit",
        "sides of the panel",
    ),
    "too round": (
        '"10 mm"',
        '"10 mm"\nradius_up = "0.1 m"',
        7,
        "panel.radius_up",
        "is less than",
        "at least the side",
    ),
    "fine and large": ('"10 mm"', '"1 mm"\nwidth = "3 m"\nheight = "3 m"', 6, "panel.cell", "four million", "larger"),
    "no room for the arch": (
        '"test card"',
        '"quarter panel"\nwidth = "0.6 m"',
        6,
        "panel.width",
        "does not fit",
        "wheel arch",
    ),
    "title a number": ('"A card"', "7", 2, "title", "not a short text", "title ="),
    "endless title": ('"A card"', f'"{"x" * 300}"', 2, "title", "not a short text", "title ="),
    "other act": ('"clean"', '"cleen"', 8, "step.1.do", 'Did you mean "clean"?', "Choose from"),
    "no act": ('do = "clean"\n', "", 7, "step.1", "does not say what is done", 'do = "'),
    "half a wipe": ("wipes = 2", "wipes = 1.5", 9, "step.1.wipes", "not a whole number", "without quotes"),
    "negative": ("wipes = 2", "wipes = -1", 9, "step.1.wipes", "below the range", ""),
    "inf": ("wipes = 2", "wipes = inf", 9, "step.1.wipes", "not a finite number", ""),
    "step a table": ("[[step]]", "[step]", 7, "step", "is missing", "[[step]]"),
    "panel a number": (HEAD[HEAD.index("[panel]") :], "panel = 3\n", 4, "panel", "table of keys", "Write its keys"),
    "missing": ("wipes = 2", '[[step]]\ndo = "wait"', 9, "step.2.time", "is missing", "step_time"),
    "bare grade": (
        "wipes = 2",
        '[[step]]\ndo = "block"\nstrokes = 5\npaper = "320"',
        12,
        "step.2.paper",
        "names no scale",
        "Look on the back",
    ),
    "no grade": (
        "wipes = 2",
        '[[step]]\ndo = "block"\nstrokes = 5\npaper = [1]',
        12,
        "step.2.paper",
        "not a paper",
        "P320",
    ),
    "no block": (
        "wipes = 2",
        '[[step]]\ndo = "block"\nstrokes = 5\npaper = "P320"\nblock = "big"',
        13,
        "step.2.block",
        "not the size of a block",
        "two sides",
    ),
    "no damage": ("wipes = 2", 'area = "damage"', 9, "step.1.area", "needs the damage", "[panel.damage]"),
    "half an area": (
        "wipes = 2",
        'area = { x = "1 mm" }',
        9,
        "step.1.area.y",
        "is missing",
        "x, y, width and height",
    ),
    "far area": (
        "wipes = 2",
        'area = { x = "2 m", y = "0 mm", width = "1 mm", height = "9 mm" }',
        9,
        "step.1.area",
        "does not touch the panel",
        "0.3 m wide",
    ),
    "fill all": ("wipes = 2", '[[step]]\ndo = "fill"\narea = "all"', 11, "step.2.area", "whole panel", "Fill a part"),
    "mask nothing": (
        "wipes = 2",
        '[[step]]\ndo = "mask"\nopen = "all"',
        11,
        "step.2.open",
        "all of the panel",
        "Leave",
    ),
    "many coats": (
        "wipes = 2",
        '[[step]]\ndo = "spray"\nmaterial = "surfacer"\ncoats = 2\nreduction = "900 %"',
        13,
        "step.2.reduction",
        "above the range",
        "",
    ),
    "no coat": (
        "wipes = 2",
        '[[step]]\ndo = "spray"\nmaterial = "surfacer"\ncoats = 0',
        12,
        "step.2.coats",
        "below the range",
        "",
    ),
    "ratio": (
        "[[step]]",
        '[material.clear]\nratio = "2;1"\n[[step]]',
        8,
        "material.clear.ratio",
        "not a ratio",
        "4:1:1",
    ),
    "densities": (
        "[[step]]",
        '[material.clear]\ndensities = ["1 kg/L"]\n[[step]]',
        8,
        "material.clear.densities",
        "has 1 for 2 parts",
        "one for each part",
    ),
    "window": (
        "[[step]]",
        '[material.base]\nrecoat_until = "1 min"\n[[step]]',
        8,
        "material.base.recoat_until",
        "before dry_to_recoat",
        "Exchange",
    ),
    "other material": ("[[step]]", "[material.glue]\n[[step]]", 7, "material.glue", "not a key", "Keys here"),
    "sands wet": (
        "wipes = 2",
        '[[step]]\ndo = "spray"\nmaterial = "surfacer"\n[[step]]\ndo = "block"\nstrokes = 5\npaper = "P320"',
        13,
        "step.3.do",
        "while it is still wet",
        'do = "wait"',
    ),
    "wipes wet": (
        "wipes = 2",
        '[[step]]\ndo = "spray"\nmaterial = "surfacer"\n[[step]]\ndo = "clean"',
        13,
        "step.3.do",
        "wipes wet",
        'do = "wait"',
    ),
    "clear alone": (
        "wipes = 2",
        '[[step]]\ndo = "spray"\nmaterial = "surfacer"\n[[step]]\ndo = "wait"\n'
        'time = "5 h"\n[[step]]\ndo = "spray"\nmaterial = "clear"',
        17,
        "step.4.material",
        "clear over surfacer",
        "Spray base first",
    ),
    "masked twice": (
        "wipes = 2",
        2 * '[[step]]\ndo = "mask"\nopen = { x = "1 mm", y = "1 mm", width = "99 mm", height = "99 mm" }\n',
        13,
        "step.3.do",
        "masks a masked panel",
        "unmask",
    ),
    "no mask": ("wipes = 2", '[[step]]\ndo = "unmask"', 10, "step.2.do", "not there", "mask"),
    "no TOML": ("[panel]", "[panel", 0, "", "cannot be read as TOML", "mend that line"),
}


@pytest.mark.parametrize("case", BROKEN)
def test_a_broken_recipe_is_told_by_line_field_and_remedy(case):
    old, new, line, field, problem, remedy = BROKEN[case]
    assert GOOD.count(old) == 1
    with pytest.raises(InputError) as told:
        repair.loads(GOOD.replace(old, new), "r.toml")
    where = f"r.toml, line {line}, {field}" if line else "r.toml"
    assert told.value.argument == where
    assert problem in str(told.value) and remedy in str(told.value)


def test_colour_over_bare_filler_and_surfacer_on_bare_metal_cannot_be(card):
    for number, material, problem in ((6, "base", "base over filler"), (6, "clear", "clear over filler")):
        with pytest.raises(InputError, match=problem):
            card.changed("step", number, "material", to=material)
    bare = HEAD + CARD.replace(
        'do = "fill"\nproud = "0.1 mm"\nripple = "0.02 mm"', 'do = "spray"\nmaterial = "surfacer"'
    )
    with pytest.raises(InputError, match="surfacer straight on bare metal"):
        repair.loads(bare)


@pytest.mark.parametrize("bad", [None, 3, b"x", ["format = 2"], object()])
def test_what_is_no_recipe(bad):
    with pytest.raises(InputError):
        repair.loads(bad)
    with pytest.raises(InputError):
        repair.replay(bad)


def test_a_recipe_in_us_units_is_the_same():
    metric = repair.loads(GOOD.replace("wipes = 2", 'time = "10 min"'))
    us = repair.loads(GOOD.replace("wipes = 2", 'time = "600 s"').replace('"10 mm"', '"0.393700787401575 in"'))
    assert us.steps[0].time == metric.steps[0].time
    assert us.panel["cell"] == pytest.approx(metric.panel["cell"], rel=1e-12)


def test_changed_says_what_is_not_there(card):
    assert card.changed("step", 4, "force", to="12 N").steps[3].force == 12
    assert card.changed("garage", "temperature", to="25 °C").garage["temperature"] == pytest.approx(298.15)
    for where in (("step", 99, "force"), ("step", 0, "force"), ("step", "force"), (), ("title", "x")):
        with pytest.raises(InputError):
            card.changed(*where, to="12 N")
    with refused("other quantity", "force"):
        card.changed("step", 4, "force", to="12 m")


def test_a_mark_before_the_first_letter_is_no_mistake(tmp_path):
    """Some editors save text with a byte order mark."""
    path = tmp_path / "marked.toml"
    path.write_text(HEAD + CARD, encoding="utf-8-sig")
    assert repair.load(path).steps == repair.loads(HEAD + CARD).steps
