"""Measurements for drying, pot life and hiding: what they say, against figures worked out by hand."""

import math

import numpy as np
import pytest

from coursekit import colour, measured
from coursekit.colour.hiding import through_film
from coursekit.garage.measuring import smoke_test
from coursekit.quantities import InputError
from coursekit.sources import coefficient

LAG = {"panel_before": "8 °C", "panel_after": "13 °C", "air": "18 °C", "time": "20 min"}
CUP = {"doubled": "50 min", "temperature": "26 °C", "reference": "100 min", "reference_temperature": "16 °C"}
SMOKE = {"clear_time": "60 min", "air_changes": "6 /h", "visible_smoke": "2 %"}
# 1.2 g of solvent on 200 cm², 0.72 g gone
CARD = {
    "solvent": "n-butyl acetate",
    "card_before": "50 g",
    "card_wet": "52.4 g",
    "card_after": "51.68 g",
    "card_area": "200 cm²",
    "mass_solids": "50 %",
    "temperature": "25 °C",
    "air_speed": "0.25 m/s",
    "time": "8 min",
}


@pytest.fixture
def mine(tmp_path):
    return measured.load(tmp_path / "garage.toml")


@pytest.mark.parametrize(
    ("way", "fields", "key", "expected"),
    [
        ("panel_lag", LAG, "panel_lag", 1200 / math.log(2)),  # half of the way
        ("cup_doubling", CUP, "pot_life_factor", 2.0),  # half as long, 10 °C warmer
        ("cup_doubling", CUP, "activation_energy", 8.314463 * math.log(2) / (1 / 289.15 - 1 / 299.15)),
        # 0.036 kg/m² gone in 480 s, over P·M/RT = 1619 Pa · 0.11616 / (8.314 · 298.15) = 0.07587 kg/m³ of vapour
        ("flash_card", CARD, "transfer_speed", 0.036 / 480 / 0.07587),
    ],
)
def test_what_it_says(mine, way, fields, key, expected):
    said = mine.enter(way, **fields)
    value = mine.coefficient(key)
    assert float(value) == pytest.approx(expected, rel=0.015)  # what was believed before pulls a little
    assert value.high / value.low < coefficient(key).high / coefficient(key).low
    assert "narrower" in said.sentence and said.contradiction == ""


def test_a_card_gives_back_the_scattering_it_was_painted_with(mine):
    """A blue seen through 30 µm over white and over black paper, photographed without error."""
    thick, scattering = [45.0, -5.0, -35.0], 0.05e6
    seen = [
        colour.swatch(list(through_film(np.array(thick), np.array(ground), np.array([scattering * 15e-6])))).hex
        for ground in ([91.7, 0.0, 0.0], [20.0, 0.0, 0.0])
    ]
    said = mine.enter(
        "hiding_card", dry_film="15 µm", thick=colour.swatch(thick).hex, over_white=seen[0], over_black=seen[1]
    )
    value = mine.coefficient("scattering")
    assert float(value) == pytest.approx(scattering, rel=0.05)
    assert value.low < scattering < value.high and "narrower" in said.sentence


@pytest.mark.parametrize(
    ("way", "fields", "change"),
    [
        ("panel_lag", LAG, {"air": "9 °C"}),
        ("panel_lag", LAG, {"panel_after": "8 °C"}),
        ("panel_lag", LAG, {"panel_after": "19 °C"}),
        ("cup_doubling", CUP, {"temperature": "17 °C"}),
        ("flash_card", CARD, {"card_after": "52.3 g"}),
        ("smoke_test", SMOKE, {"clear_time": "5 min"}),
        ("flash_card", CARD, {"card_after": "51.1 g"}),
        ("flash_card", CARD, {"card_wet": "49 g"}),
        ("flash_card", CARD, {"solvent": "soup"}),
        (
            "hiding_card",
            {"dry_film": "15 µm", "thick": "#3060a0", "over_white": "#3060a0", "over_black": "#3060a0"},
            {},
        ),
        ("hiding_card", {"dry_film": "15 µm", "thick": "blue", "over_white": "#6080b0", "over_black": "#3060a0"}, {}),
    ],
)
def test_readings_that_cannot_be_are_refused(mine, way, fields, change):
    with pytest.raises(InputError):
        mine.enter(way, **{**fields, **change})
    assert not mine.entries


def test_a_smoke_test_moves_the_mixing_factor_to_what_was_seen(mine):
    """From all to 2 % in an hour is ln 50 = 3.91 changes, of 6: 1.53; what was taken before, 4, pulls a little."""
    said = smoke_test(np.array(3600.0), np.array(6 / 3600), np.array(0.02))["mixing_factor"]
    assert float(said) == pytest.approx(6 / math.log(50))
    mine.enter("smoke_test", **SMOKE)
    value, before = mine.coefficient("mixing_factor"), coefficient("mixing_factor")
    assert 1.53 < float(value) < 1.8 and value.low < 1.53 < value.high
    assert value.high / value.low < 0.4 * before.high / before.low
