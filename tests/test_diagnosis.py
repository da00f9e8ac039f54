"""What went wrong: a repair that provokes a defect has the right step named; what is not computed is said."""

import functools

import pytest

from coursekit import repair
from coursekit.quantities import InputError
from coursekit.repair import coat_signs, surface_signs
from coursekit.repair.diagnosis import Diagnosis, defects

CARD = """
format = 2
[panel]
shape = "{shape}"
cell = "10 mm"
{damage}
[garage]
temperature = "{temperature}"
humidity = "{humidity}"
{steps}
"""
DAMAGE = '[panel.damage]\nx = "150 mm"\ny = "150 mm"\nwidth = "100 mm"\nheight = "100 mm"\nlow = "0.2 mm"\n'


@functools.cache
def played(*steps, damage="", shape="test card", temperature="20 °C", humidity="50 %"):
    """A short repair; each step as one line of TOML."""
    lines = "".join("\n[[step]]\n" + "\n".join(step.split("; ")) + "\n" for step in steps)
    text = CARD.format(shape=shape, damage=damage, temperature=temperature, humidity=humidity, steps=lines)
    return repair.replay(repair.loads(text))


CLEAN = 'do = "clean"; wipes = 3'
WAIT = 'do = "wait"; time = "40 min"'
DULL = 'do = "hand sand"; paper = "P600"; strokes = 40'
BASE = 'do = "spray"; material = "base"; coats = 2; fluid_delivery = "180 mL/min"'
CLEAR = 'do = "spray"; material = "clear"; coats = 2; fluid_delivery = "280 mL/min"; flash = "15 min"'
SURFACER = 'do = "spray"; material = "surfacer"'
GOOD = (CLEAN, DULL, CLEAN, BASE, WAIT, CLEAR)
HEAVY = f'{CLEAR}; gun_speed = "0.15 m/s"'

# seen, the repair, the step and the cause that have to be named (0: the garage), and one step that must not be
PROVOKED = [
    ("run", (*GOOD[:5], HEAVY), {}, 6, "slow hand", 4),
    ("sag", (*GOOD[:5], CLEAR.replace("15 min", "1 min")), {}, 6, "no flash", None),
    ("run", (*GOOD[:5], f'{CLEAR}; pitch = "40 mm"'), {}, 6, "close together", 4),
    ("dry spray", (*GOOD[:5], f'{CLEAR}; gun_speed = "1.8 m/s"'), {}, 6, "too little paint", 4),
    ("orange peel", (*GOOD[:5], f'{CLEAR}; gun_speed = "1.8 m/s"'), {}, 6, "too thin to level", 4),
    ("scratches showing", (CLEAN, DULL.replace("P600", "P120"), CLEAN, BASE), {}, 4, "too coarse", None),
    (
        "scratches showing",
        (CLEAN, DULL.replace("P600", "P80"), CLEAN, f'{SURFACER}; gun_speed = "1.5 m/s"'),
        {},
        4,
        "deeper than the coat",
        None,
    ),
    ("scratches showing", (CLEAN, DULL.replace("P600", "P80"), DULL.replace("40", "2")), {}, 3, "skipped", 2),
    (
        "ring",
        (
            CLEAN,
            DULL,
            'do = "mask"; open = { x = "100 mm", y = "100 mm", width = "150 mm", height = "150 mm" }; edge = "flat"',
            SURFACER,
            'do = "wait"; time = "4 h"',
            'do = "unmask"',
        ),
        {},
        6,
        "hard mask edge",
        None,
    ),
    ("ring", (CLEAN, DULL), {"damage": DAMAGE + 'feather = "1 mm"\nstripped = "10 mm"\n'}, None, None, None),
    (
        "waves",
        (
            CLEAN,
            'do = "fill"; ripple = "0.3 mm"; proud = "0.5 mm"',
            'do = "wait"; time = "2 h"',
            'do = "block"; paper = "P80"; strokes = 20',
        ),
        {"damage": DAMAGE},
        4,
        "waves left",
        None,
    ),
    (
        "waves",
        (CLEAN, DULL, SURFACER, 'do = "wait"; time = "4 h"', 'do = "block"; paper = "P320"; strokes = 20'),
        {},
        5,
        "without a guide coat",
        2,
    ),
    (
        "flat on a curve",
        (
            CLEAN,
            'do = "block"; paper = "P320"; tool = "stiff board"; strokes = 20',
            'do = "hand sand"; paper = "P320"; strokes = 20',
        ),
        {"shape": "door"},
        2,
        "too stiff",
        3,
    ),
    ("pinholes", (*GOOD[:5], CLEAR.replace("15 min", "1 min")), {}, 6, "too soon one after", None),
    ("solvent pop", (*GOOD[:4], 'do = "wait"; time = "2 min"', CLEAR), {}, 6, "next product too soon", None),
    ("craters", (DULL, CLEAN, BASE), {}, 1, "before it was clean", None),
    ("craters", ('do = "clean"; wipes = 1', BASE), {}, 2, "under the coat", None),
    ("craters", (DULL, 'do = "clean"; wipes = 6', BASE), {}, 3, "rubbed into", None),
    ("lifting", (*GOOD[:4], 'do = "wait"; time = "3 d"', CLEAR), {}, 6, "missed", None),
    ("wrinkling", (*GOOD[:4], 'do = "wait"; time = "2 min"', CLEAR), {}, 6, "before the recoat window", None),
    ("milky bloom", GOOD, {"humidity": "90 %"}, 0, "dew point", 6),
    ("milky bloom", GOOD, {"humidity": "90 %"}, 0, "damp air", 4),
    ("shrinkage", (CLEAN, DULL, SURFACER, 'do = "wait"; time = "1 h"', DULL), {}, 5, "before it was hard", 2),
    ("stripes", (*GOOD[:5], f'{CLEAR}; fan_width = "150 mm"; pitch = "140 mm"'), {}, 6, "too little overlap", 4),
    ("stripes", (*GOOD[:5], f'{CLEAR}; fan_width = "100 mm"; pitch = "140 mm"'), {}, 6, "uneven film", 4),
    ("light patch in colour", (CLEAN, DULL, BASE.replace("2", "1", 1)), {}, 3, "few coats", None),
    ("light patch in colour", (CLEAN, DULL, f'{BASE}; gun_speed = "1.5 m/s"'), {}, 3, "too thin a base", None),
    ("rust", (CLEAN, 'do = "fill"', WAIT), {"damage": DAMAGE}, 2, "bare metal under", None),
    ("run", GOOD, {"temperature": "10 °C"}, 0, "cold panel", None),
    ("dry spray", GOOD, {"temperature": "41 °C"}, 0, "heat", None),
]


@pytest.mark.parametrize(("seen", "steps", "given", "step", "cause", "innocent"), PROVOKED)
def test_a_repair_that_provokes_a_defect_has_the_step_named(seen, steps, given, step, cause, innocent):
    found = repair.diagnose(played(*steps, **given), seen)
    if step is None:  # the rim of the old paint belongs to what was given
        assert 0 in found.steps and any("feathered" in cause for cause in found.causes)
        return
    named = [f for f in found.findings if f.step == step and cause in f.cause]
    assert named and all(f.says == "points to it" for f in named), str(found)
    assert step in found.steps
    if innocent is not None:
        assert not any(f.ratio > 1 and f.step == innocent and cause in f.cause for f in found.findings)


@pytest.mark.parametrize("seen", ["run", "dry spray", "craters", "milky bloom", "pinholes", "lifting", "stripes"])
def test_a_repair_that_does_not_provoke_it_has_no_step_named(seen):
    found = repair.diagnose(played(*GOOD), seen)
    assert found.steps == (), str(found)
    assert "No figure of this repair points to a computed cause" in str(found)


def test_sanding_through_is_found():
    worn = played(CLEAN, f'{DULL.replace("P600", "P80").replace("40", "1500")}; force = "40 N"; overhang = "0 %"')
    through = repair.diagnose(worn, "rust")
    assert through.steps


@pytest.mark.parametrize("seen", list(repair.defects()))
def test_every_cause_is_weighed_or_said_to_be_not_computed(seen):
    row = repair.defects()[seen]
    checks = [cause["check"] for cause in row["causes"] if "check" in cause]
    assert checks and all(hasattr(coat_signs, check) != hasattr(surface_signs, check) for check in checks)
    found = repair.diagnose(played(*GOOD), seen)
    assert found.not_computed == tuple(cause["say"] for cause in row["causes"] if "check" not in cause)
    assert all(cause in str(found) for cause in found.not_computed) and found.not_computed
    assert found.now in str(found) and found.now in found._repr_html_()
    assert row["source"] == "common-practice"


@pytest.mark.parametrize("seen", defects())
def test_what_mends_it_has_its_cautions_beside_it(seen):
    """Who is told to sand or spray again is told of dust and supplied air in the same breath."""
    found = Diagnosis(seen, "", "", (), (), defects()[seen]["now"], "metric")
    for word, caution in (("spray", "supplied air only"), ("sand", "harmful dust"), ("polish", "harmful dust")):
        if word in found.now:
            assert caution in " ".join(found.care)
    assert found.care and all(one in str(found) and one in found._repr_html_() for one in found.care)


def test_every_sign_is_used():
    used = {cause["check"] for row in repair.defects().values() for cause in row["causes"] if "check" in cause}
    made = {
        name
        for module in (coat_signs, surface_signs)
        for name, value in vars(module).items()
        if callable(value) and getattr(value, "__module__", "") == module.__name__ and not name.startswith("_")
    }
    assert made == used


def test_the_place_decides_which_steps_are_weighed():
    left = f'{HEAVY}; area = {{ x = "0 mm", y = "0 mm", width = "100 mm", height = "400 mm" }}'
    here, there = ({"x": x, "y": "100 mm", "width": "40 mm", "height": "40 mm"} for x in ("30 mm", "250 mm"))
    run = played(*GOOD[:5], left)
    assert 6 in repair.diagnose(run, "run", here).steps
    assert 6 not in [finding.step for finding in repair.diagnose(run, "run", there).findings]


def test_figures_are_told_in_us_units():
    words = str(repair.diagnose(played(*GOOD[:5], HEAVY), "run", system="us"))
    assert "mil of wet film hung" in words and "µm" not in words


def test_the_figure_is_the_one_of_the_replay():
    run = played(*GOOD[:5], HEAVY)
    worst = next(f for f in repair.diagnose(run, "run").findings if f.step == 6 and "pile up" in f.cause)
    assert worst.reason.figures[0][1] == run[5].used.hung
    assert worst.ratio == pytest.approx(run[5].used.hung / run.recipe.materials["clear"]["sag_limit"])


def test_nothing_is_claimed_beyond_the_figures():
    words = str(repair.diagnose(played(*GOOD[:5], HEAVY), "run"))
    assert "does not prove it" in words and "just as possible" in words


@pytest.mark.parametrize("seen", [None, "", "ghost", 3, ["run"], float("nan"), "x" * 10000, object()])
def test_bad_defect(seen):
    with pytest.raises(InputError):
        repair.diagnose(played(*GOOD), seen)


@pytest.mark.parametrize(
    "where",
    [
        None,
        "",
        "moon",
        "damage",
        3,
        float("nan"),
        [],
        {},
        {"x": "1 mm"},
        object(),
        ["all"],
        "y" * 10000,
        {"x": "9 m", "y": "0 m", "width": "1 m", "height": "1 m"},
        {"x": 1, "y": 2, "width": 3, "height": 4},
        {"x": "3 m", "y": "0 m", "width": "1 m", "height": "1 m"},
        {"x": "1 mm", "y": "1 mm", "width": "1 mm", "height": "1 mm"},
        {"x": [1, 2], "y": "0 m", "width": "1 m", "height": "1 m"},
        {"x": "nan m", "y": "0 m", "width": "1 m", "height": "1 m"},
    ],
)
def test_bad_place(where):
    with pytest.raises(InputError):
        repair.diagnose(played(*GOOD), "run", where)


@pytest.mark.parametrize("recipe", [None, 3, object(), "no_such_file.toml", [], float("nan")])
def test_bad_recipe(recipe):
    with pytest.raises(InputError):
        repair.diagnose(recipe, "run")


def test_bad_system():
    with pytest.raises(InputError):
        repair.diagnose(played(*GOOD), "run", system="imperial")


@pytest.mark.parametrize("seen", list(repair.defects()))
@pytest.mark.parametrize(("temperature", "humidity"), [("2 °C", "100 %"), ("48 °C", "1 %"), ("20 °C", "50 %")])
@pytest.mark.filterwarnings("error")
def test_any_weather_and_any_kind_of_step_is_weighed(seen, temperature, humidity):
    hurried = repair.load(repair.demo_path("impatient_repair"))
    hurried = hurried.changed("panel", "cell", to="20 mm").changed("garage", "temperature", to=temperature)
    found = repair.diagnose(hurried.changed("garage", "humidity", to=humidity), seen)
    assert found.findings and all(finding.ratio >= 0 for finding in found.findings)
    assert "nan" not in str(found) and "inf" not in str(found)
    numbers = range(len(hurried.steps) + 1)
    assert all(finding.step in numbers for finding in found.findings)
