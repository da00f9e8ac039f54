"""The ends that are shown hold against every draw of the belief, and against twenty times as many as a sweep uses.

Fewer would show chance as knowledge.
"""

import importlib
from types import SimpleNamespace

import numpy as np
import pytest

from coursekit import lesson, repair, spraying
from coursekit.belief import bands as belief_bands
from coursekit.belief import joint, learning, moves, parts
from coursekit.belief.joint import DRAWS as ALL
from coursekit.lesson.content.benches import air_supply, gun_sweep
from coursekit.lesson.content.shared import one_coat
from coursekit.lesson.learner import own
from coursekit.repair import sheet_gun
from coursekit.spraying import finding
from coursekit.uncertain import Band

FEW_PER_CENT = 0.08  # of the greatest width of the band, which is what the eye sees of it
NEVER = 1e9

# Bench, its settings away from the start, which bands it draws, and between what its picture ends.
SHOWN = [
    (
        "small-area",
        [{}, {"panel_width": "2 m", "panel_height": "1.4 m"}, {"receiver_volume": "24 L"}],
        lambda found: [found.over_time, found.at_end],
        (0, 2),
    ),
    (
        "flash",
        [{}, {"wet_film": "150 µm"}, {"temperature": "10 °C"}],
        lambda found: [found.times, found.stage],
        (0, NEVER),
    ),
    ("day", [{}, {"dew_point": "3 °C"}], lambda found: [found.panel, found.margin], (-NEVER, NEVER)),
    (
        "mask-edge",
        [{}, {"coats": 3, "step_back": "8 mm"}, {"lip_height": "2 mm"}],
        lambda found: [found.band, *found.raised, *found.flat],
        (0, NEVER),
    ),
    (
        "near-far",
        [{}, {"gun_inlet_pressure": "2.5 bar"}],
        lambda found: [found.wet_over, found.dry_over],
        (0, NEVER),
    ),
    (
        "gun-sweep",
        [{}, {"swept": "air at the gun"}, {"swept": "fluid knob"}],
        lambda found: [found.mist, found.missed, found.texture],
        (0, NEVER),
    ),
    ("gun-air", [{}, {"gauge_pressure": "3 bar"}], lambda found: [found.cap, found.air_use], (0, NEVER)),
]


def computed(module, values):
    return SimpleNamespace(**module.bench.compute(**values))


def forget(module):
    for value in vars(module).values():
        if hasattr(value, "cache_clear"):
            value.cache_clear()


@pytest.mark.parametrize("key, settings, bands, ends", SHOWN, ids=lambda one: one if isinstance(one, str) else "")
def test_shown_ends_hold_against_all_draws(key, settings, bands, ends, monkeypatch):
    module = importlib.import_module(f"coursekit.lesson.content.benches.{key.replace('-', '_')}")
    assert module.DRAWS < ALL
    for change in settings:
        values = lesson.bench(key).set(**change).values
        told = bands(computed(module, values))
        with monkeypatch.context() as patched:
            patched.setattr(module, "DRAWS", ALL)
            forget(module)
            held = bands(computed(module, values))
        forget(module)
        for few, many in zip(told, held, strict=True):
            few, many = (np.clip(np.array([np.asarray(end, float) for end in one]), *ends) for one in (few, many))
            assert isinstance(told[0], Band) and few.shape == many.shape
            off = np.abs(few - many).max() / max(np.ptp(many, axis=0).max(), 1e-300)
            assert off < FEW_PER_CENT, (change, off)


@pytest.mark.parametrize(
    "change", [{}, {"receiver_volume": "100 L"}, {"regulator_pressure": "3.5 bar", "delivery": "100 L/min"}], ids=str
)
def test_the_time_until_the_air_is_low_stands_among_all_draws(change, monkeypatch):
    """It may never be: an end can be infinite, so it is placed among the draws, to 2 % of them."""
    values = lesson.bench("air-supply").set(**change).values
    told = computed(air_supply, values).low_after
    monkeypatch.setattr(air_supply, "DRAWS", ALL)
    for off, side in ((-0.02, np.less_equal), (0.02, np.greater_equal)):
        monkeypatch.setattr(joint, "PERCENTS", tuple(p + off for p in (0.05, 0.5, 0.95)))
        assert np.all(side(np.array(computed(air_supply, values).low_after), told)), (off, told)


# --- against twenty times as many -----------------------------------------------------------------------------

MANY = 20 * gun_sweep.DRAWS
SUPPLY = 84_000  # draws of the margins: weighed by the facts they are worth more than MANY


@pytest.fixture(scope="session")
def many():
    """A belief of MANY draws made another way: margins weighed at once by all facts, without moves."""
    random = np.random.default_rng(20)

    def weighed(keys):
        start = random.standard_normal((SUPPLY, len(keys)))
        agrees = parts.log_likelihood(keys, parts.facts_of(keys))
        told = np.concatenate([moves.safely(agrees, some) for some in np.array_split(start, SUPPLY // 6000)])
        weights = moves.updated(np.full(SUPPLY, 1 / SUPPLY), told)
        assert moves.left(weights) > MANY
        return start[moves.systematic(weights, MANY)]

    gun, of_drying = (
        sorted(joint.shipped().tied),
        [part for part in joint.shipped().parts if "flash_end" in part.deviates],
    )
    alike = np.full(MANY, 1 / MANY)
    whole = joint.of_draws(gun, moves.Draws(weighed(gun), alike), {}, ())
    return whole._with(
        parts=[parts.in_order(sorted(part.deviates), weighed(sorted(part.deviates))) for part in of_drying]
    )


def sweep(field):
    def bands():
        found = computed(gun_sweep, lesson.bench("gun-sweep").set(swept=field).values)
        return [found.mist, found.missed, found.texture]

    return bands


def one_setting():
    return list(one_coat.coat(lesson.bench("what-if").values).bands)


def bench(key, bands):
    module = importlib.import_module(f"coursekit.lesson.content.benches.{key.replace('-', '_')}")
    return lambda: bands(computed(module, lesson.bench(key).values))


CARD = """
format = 1
title = "card"
[panel]
shape = "test card"
[garage]
temperature = "20 °C"
humidity = "50 %"
[gun]
tip_bore = "1.3 mm"
turns = 2
gun_inlet_pressure = "2 bar"
fan_opening = "100 %"
kinematic_viscosity = "30 mm²/s"
[[step]]
do = "clean"
[[step]]
do = "hand sand"
paper = "P320"
force = "15 N"
strokes = 60
[[step]]
do = "clean"
[[step]]
do = "spray"
material = "surfacer"
"""


def gun_card():
    replay = repair.replay(repair.loads(CARD))
    return list(sheet_gun.predicted(replay, replay.recipe.steps[-1]))


def found_setting():
    found = spraying.find_setting.si(
        50e-6, 1.0, 0.7, volume_solids=0.45, kinematic_viscosity=30e-6, density=1000.0, tip_bore=1.3e-3
    )
    return [found.film]


def ends_of(field):
    """The two ends of a sweep alone: the middle of one is no wider."""

    def bands():
        with pytest.MonkeyPatch.context() as patched:
            patched.setattr(gun_sweep, "POINTS", 2)
            return sweep(field)()

    return bands


# What is shown, where the number of its draws stands, and how it is called.
TWENTY = {
    "sweep of air": (sweep("air at the gun"), gun_sweep, "DRAWS"),
    "sweep of the hand": (sweep("gun distance"), gun_sweep, "DRAWS"),
    **{f"ends of {one}": (ends_of(one), gun_sweep, "DRAWS") for one in gun_sweep.ENDS},
    "one setting": (one_setting, one_coat, "DRAWS"),
    "gun card": (gun_card, sheet_gun, "DRAWS"),
    "setting found": (found_setting, finding, "_DRAWS"),
    "drops": (bench("drops", lambda found: [found.median, found.fine, found.over_air]), None, "DRAWS"),
    "flash": (bench("flash", lambda found: [found.times]), None, "DRAWS"),
}
OF_ITS_WIDTH = {"one setting": 0.125, "gun card": 0.125, "setting found": 0.125}  # 500 draws; else FEW_PER_CENT


@pytest.mark.parametrize("what", TWENTY)
def test_shown_ends_hold_against_twenty_times_as_many(what, many, monkeypatch):
    shown, module, name = TWENTY[what]
    module = module or importlib.import_module(f"coursekit.lesson.content.benches.{what}")
    assert 20 * getattr(module, name) >= many.draws / 2
    told = shown()
    with monkeypatch.context() as patched:
        patched.setattr(module, name, MANY)
        for place in (belief_bands, learning):
            patched.setattr(place, "shipped", lambda: many)
        patched.setattr(own, "_LOADED", {})
        learning.learnt.cache_clear()
        forget(module), forget(one_coat)
        held = shown()
        learning.learnt.cache_clear()
    forget(module), forget(one_coat)
    for few, more in zip(told, held, strict=True):
        few, more = (np.array([np.asarray(end, float) for end in one]) for one in (few, more))
        off = np.abs(few - more).max() / max(np.ptp(more, axis=0).max(), 1e-300)
        assert off < OF_ITS_WIDTH.get(what, FEW_PER_CENT), off
        assert off > 0, "it was computed anew, on other draws"
