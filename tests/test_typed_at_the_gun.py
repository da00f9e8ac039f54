"""Distances, speeds, pressures and deliveries as painters type them, and remedies of a fitting size."""

import pytest

from coursekit import spraying
from coursekit.nomenclature import KINDS, names
from coursekit.quantities import InputError, read

INCH, FOOT, PSI, FLUID_OUNCE = 0.0254, 0.3048, 4.4482216152605 / 0.0254**2, 231 * 0.0254**3 / 128


@pytest.mark.parametrize(
    ("text", "name", "si"),
    [
        ("20 PSI", "gun_inlet_pressure", 20 * PSI),
        ("20psi", "gun_inlet_pressure", 20 * PSI),
        ("2 Bar", "gun_inlet_pressure", 2e5),
        ('6"', "gun_distance", 6 * INCH),
        ("6 in.", "gun_distance", 6 * INCH),
        ("7\N{DOUBLE PRIME}", "gun_distance", 7 * INCH),
        ("90 fpm", "gun_speed", 90 * FOOT / 60),
        ("90 FPM", "gun_speed", 90 * FOOT / 60),
        ("6 oz/min", "fluid_delivery", 6 * FLUID_OUNCE / 60),
        ("6 OZ / min", "fluid_delivery", 6 * FLUID_OUNCE / 60),
        ("3'", "panel_width", 3 * FOOT),
        ("0.5e-1 m", "panel_width", 0.05),
    ],
)
def test_as_painters_type_it(text, name, si):
    assert read(text, name) == pytest.approx(si, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "name", "says"),
    [
        ("6-8 in", "gun_distance", 'is a range; one number is needed. Write the one you set, or the middle: "7 in".'),
        ('6"-8"', "gun_distance", 'the middle: "7 in"'),
        ("6 to 8 in", "gun_distance", 'the middle: "7 in"'),
        ("15-20 PSI", "gun_inlet_pressure", 'the middle: "17.5 PSI"'),
        ("2-3", "turns", 'the middle: "2.5"'),
        ("175", "gun_distance", 'such as "175 mm" or "7 in"'),
        ("5 kg", "gun_distance", 'such as "175 mm" or "7 in"'),
        ("1-1/2", "turns", "a fraction as a decimal"),
        ("6 oz", "paint_volume", "could mean two things"),
        ("6 OZ", "paint_volume", "could mean two things"),
        ("6 oz/min", "gun_speed", "is not a recognised unit"),
    ],
)
def test_what_cannot_be_read_is_told_with_a_fitting_remedy(text, name, says):
    with pytest.raises(InputError) as told:
        read(text, name)
    assert says in str(told.value)


def test_examples_can_be_read_by_the_row_they_stand_for():
    for name, row in names().items():
        if row.kind in KINDS and row.metric and row.kind != "fraction":
            for example in row.example.split(" or "):
                read(example.strip('"'), name)


def test_a_call_is_asked_as_one_types():
    metric = spraying.fan_width(0.75, "152.4 mm")
    assert spraying.fan_width(0.75, '6"').magnitude == pytest.approx(metric.magnitude)
