"""The ends that a bench shows hold against every draw of the belief; fewer would show chance as knowledge."""

import importlib

import numpy as np
import pytest

from coursekit import lesson
from coursekit.belief import joint
from coursekit.belief.joint import DRAWS as ALL
from coursekit.lesson.content.benches import air_supply
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
        lambda found: [found.band, *found.edge["raised"], *found.edge["flat"]],
        (0, NEVER),
    ),
    (
        "near-far",
        [{}, {"gun_inlet_pressure": "2.5 bar"}],
        lambda found: [found.over_distance.wet, found.over_distance.dry_spray],
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
        told = bands(module.compute(**values))
        with monkeypatch.context() as patched:
            patched.setattr(module, "DRAWS", ALL)
            forget(module)
            held = bands(module.compute(**values))
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
    told = air_supply.compute(**values).low_after
    monkeypatch.setattr(air_supply, "DRAWS", ALL)
    for off, side in ((-0.02, np.less_equal), (0.02, np.greater_equal)):
        monkeypatch.setattr(joint, "PERCENTS", tuple(p + off for p in (0.05, 0.5, 0.95)))
        assert np.all(side(np.array(air_supply.compute(**values).low_after), told)), (off, told)
