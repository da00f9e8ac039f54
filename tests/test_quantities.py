"""The door: what text means, what is refused and in which words, and agreement with pint's own registry."""

import math

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursekit import unit_grammar
from coursekit.nomenclature import KINDS, names
from coursekit.quantities import (
    InputError,
    RangeError,
    from_unit,
    give,
    in_range,
    in_unit,
    public,
    read,
    read_choice,
    shown,
    shown_band,
)
from coursekit.unit_grammar import unit_of

UREG = pint.get_application_registry()


def si(text, kind="length"):
    from coursekit.reading import _one_to_si

    return _one_to_si(text, kind, "value")[0]


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("1.5 mil", "length", 38.1e-6),  # exact: 25.4 µm to the mil
        ("120 µm", "length", 120e-6),
        ("120 μm", "length", 120e-6),  # the Greek letter instead of the micro sign
        ("120um", "length", 120e-6),
        ("-3 mm", "length", -3e-3),
        ("\N{MINUS SIGN}3 mm", "length", -3e-3),
        (".5 in", "length", 0.0127),
        ("1/16 in", "length", 0.0254 / 16),
        ("1 1/2 in", "length", 0.0381),
        ("1-1/2 in", "length", 0.0381),
        ("1/2 mil", "length", 12.7e-6),
        ("4 1/2 sq ft", "area", 4.5 * 0.3048**2),
        ("2 1/4 lb", "mass", 2.25 * 0.45359237),
        ("1/2 fl oz", "volume", 231 * 0.0254**3 / 256),
        ("1/2 pt", "volume", 231 * 0.0254**3 / 16),
        ("1e-3 m", "length", 1e-3),
        ("4 fl oz", "volume", 4 * 231 * 0.0254**3 / 128),
        ("1 gal", "volume", 231 * 0.0254**3),
        ("13 sq ft", "area", 13 * 0.3048**2),
        ("5 ft2", "area", 5 * 0.3048**2),
        ("12 psi", "gauge pressure", 12 * 6894.757293168361),
        ("12 psig", "gauge pressure", 12 * 6894.757293168361),
        ("14.7 psia", "absolute pressure", 14.7 * 6894.757293168361),
        ("1 atm", "absolute pressure", 101325),
        ("62 %", "fraction", 0.62),
        ("62%", "fraction", 0.62),
        ("0.62", "fraction", 0.62),
        (0.62, "fraction", 0.62),
        ("21 °C", "temperature", 294.15),
        ("0 °C", "temperature", 273.15),
        ("70 °F", "temperature", 294.2611111),
        ("300 K", "temperature", 300),
        ("5 K", "temperature difference", 5),
        ("9 Δ°F", "temperature difference", 5),
        ("9 scfm", "free air flow", 9 * 0.3048**3 / 60),
        ("250 L/min", "free air flow", 0.25 / 60),
        ("55 cSt", "kinematic viscosity", 55e-6),
        ("55 mPa·s", "dynamic viscosity", 0.055),
        ("420 g/L", "concentration", 420),
        ("100 ppm", "ppm", 1e-4),
        ("15 °", "angle", math.pi / 12),
        ("2 turns", "number", 2),
        ("1604 sq ft/gal", "area per volume", 1604 * 0.3048**2 / (231 * 0.0254**3)),
    ],
)
def test_text_is_read(text, kind, expected):
    assert si(text, kind) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("given_", "kind", "problem", "figures"),
    [
        ("10**10**10 m", "length", "unknown unit", {"unit": "**10**10 m"}),
        ("2*3 mm", "length", "unknown unit", {"unit": "*3 mm"}),
        ("1+1 mm", "length", "unknown unit", {"unit": "+1 mm"}),
        ("1e999 mm", "length", "no number", {}),
        ("1 1/2 mm", "length", "no number", {}),
        ("1/3 in", "length", "no number", {"written": "1/3 in"}),
        ("1/4 mm", "length", "no number", {"written": "1/4 mm"}),
        ("5/4 in", "length", "no number", {}),
        ("1/0 in", "length", "no number", {}),
        ("1/2/4 in", "length", "no number", {}),
        ("1/4", "length", "no number", {}),
        ("nan", "length", "no number", {}),
        ("inf mm", "length", "no number", {}),
        ("1,5 mm", "length", "comma", {}),
        ("1,500 mm", "length", "comma", {}),
        ("1.500,5 mm", "length", "comma", {}),
        ("4", "length", "no unit", {"written": "4", "wanted": "length"}),
        (4, "length", "no unit", {}),
        (np.array([4.0]), "length", "no unit", {}),
        ("4 kg", "length", "other quantity", {"unit": "kg"}),
        ("4 mmm", "length", "unknown unit", {"near": "mm"}),
        ("4 oz", "volume", "two meanings", {"unit": "oz"}),
        ("4 oz", "mass", "two meanings", {"unit": "oz"}),
        ("1 Gal", "volume", "unknown unit", {"near": "gal"}),
        ("5 " + "m" * 60, "length", "too long", {"length": 62, "longest": 40}),
        ("5 m/s/s", "length", "unknown unit", {}),
        ("5 m^4", "length", "unknown unit", {}),
        ("21 °C", "temperature difference", "scale", {}),
        ("5 Δ°C", "temperature", "other quantity", {}),
        (UREG.Quantity(5, "delta_degC"), "temperature", "scale", {}),
        (UREG.Quantity(5, "degC"), "temperature difference", "scale", {}),
        ("14.7 psia", "gauge pressure", "absolute", {}),
        ("12 psi", "absolute pressure", "not absolute", {}),
        ("12 psig", "absolute pressure", "not absolute", {}),
        ("9 cfm", "free air flow", "not free air", {}),
        ("50 mm", "number", "other quantity", {}),
        (UREG.Quantity(3, "mil"), "length", "other quantity", {"unit": "mil"}),
        (UREG.Quantity(3, "kg"), "length", "other quantity", {"unit": "kilogram"}),
        (UREG.Quantity(3j, "m"), "length", "no number", {}),
        (True, "number", "other type", {}),
        (None, "length", "other type", {}),
        ([], "length", "list", {}),
        ([[[[[["1 mm"]]]]]], "length", "list", {}),
        (["1 mm", ["1 mm", "2 mm"]], "length", "list", {}),
        (10**400, "fraction", "not finite", {}),
    ],
)
def test_refused(given_, kind, problem, figures):
    with pytest.raises(InputError) as refusal:
        si(given_, kind)
    error = refusal.value
    assert (error.argument, error.kind) == ("value", problem), str(error)
    assert {key: error.figures[key] for key in figures} == figures
    assert str(error).startswith("value: ") and error.problem.endswith(".") and error.remedy.endswith((".", '"'))


@pytest.mark.parametrize(
    ("text", "kind", "remedy"),
    [
        ("1/4 mm", "length", "0.25 for 1/4"),
        ("1,5 mm", "length", '"1.5 mm"'),
        ("1,500 mm", "length", '"1500 mm"'),
        ("1.500,5 mm", "length", "one point for the decimal"),
        ("4", "length", '"120 µm"'),
        ("4 oz", "volume", '"fl oz"'),
        ("4 oz", "mass", "grams for a mass"),
        ("14.7 psia", "gauge pressure", "Take off the pressure of the air"),
        ("9 cfm", "free air flow", '"9 scfm"'),
    ],
)
def test_the_remedy_shows_how_to_write_it(text, kind, remedy):
    with pytest.raises(InputError) as refusal:
        si(text, kind)
    assert remedy in refusal.value.remedy


def test_endless_nesting_is_refused():
    endless = []
    endless.append(endless)
    with pytest.raises(InputError):
        si(endless)


def test_odd_objects_are_refused():
    class Odd:
        magnitude, dimensionality = "many", {}

        def __getattr__(self, name):
            raise RuntimeError(name)

    with pytest.raises(InputError):
        si(Odd())


PREFIXED = (prefix + atom for prefix in unit_grammar._PREFIXES for atom in unit_grammar._PREFIXED)
ATOMS = sorted({*unit_grammar.TRADE_UNITS, *unit_grammar._PREFIXED, *PREFIXED})


@pytest.mark.parametrize("text", ATOMS)
def test_every_unit_there_and_back_with_pint(text):
    """The factor of each spelling against pint's definition of the unit it is given back as."""
    unit = unit_of(text)
    si_base = UREG.Quantity(2.5, unit.pint_name or "dimensionless").to_base_units()
    ours = 2.5 * unit.factor + unit.offset
    grams = unit.dimension[1]  # pint's base is the gram or the kilogram by its version: ask it
    scale = UREG.Quantity(1, "kg").to_base_units().magnitude ** grams
    assert si_base.magnitude == pytest.approx(ours * scale, rel=1e-9)


@given(value=st.floats(-100, 300))
def test_temperatures_there_and_back(value):
    for text, other in (("°C", "degC"), ("°F", "degF")):
        kelvin = si(f"{value:.6f} {text}", "temperature")
        assert kelvin == pytest.approx(UREG.Quantity(round(value, 6), other).m_as("kelvin"), rel=1e-9)
        assert si(UREG.Quantity(kelvin, "kelvin").to(other), "temperature") == pytest.approx(kelvin, rel=1e-12)


def test_a_foreign_registry_is_read():
    assert si(pint.UnitRegistry().Quantity(2, "inch")) == pytest.approx(0.0508)


@pytest.mark.parametrize(
    ("given_", "name", "words"),
    [
        ("9 mm", "wet_film", "9 mm is above the range where this holds, 0 to 5 mm"),
        ("400 mil", "wet_film", "0 to 196.9 mil"),
        ("-1 mil", "wet_film", "-1 mil is below"),
        (UREG.Quantity(1, "inch"), "wet_film", "1 in is above the range where this holds, 0 to 0.1969 in"),
        ("200 °F", "temperature", "200 °F is above"),
        (62, "volume_solids", 'Write a share as "62 %" or 0.62'),
        (["1 mm", "9 mm"], "wet_film", "9 mm is above"),
    ],
)
def test_range_error_speaks_the_callers_unit(given_, name, words):
    with pytest.raises(RangeError) as refusal:
        read(given_, name)
    assert words in str(refusal.value)


def test_range_error_of_a_formula_speaks_the_callers_unit():
    @public(gives="dry_film")
    def halved(wet_film):
        in_range("wet_film", wet_film, 0, 100e-6, "Lay it in two coats.")
        return wet_film / 2

    with pytest.raises(RangeError, match=r"5 mil is above .* 0 to 3.937 mil. Lay it in two coats"):
        halved("5 mil")
    with pytest.raises(RangeError, match="120 µm is above"):
        halved(UREG.Quantity(0.12, "mm").to("micrometer"))


def test_errors_survive_another_process():
    import pickle

    for error in (InputError("a", "b.", "c."), RangeError("wet_film", 9e-3, 0, 5e-3)):
        again = pickle.loads(pickle.dumps(error))
        assert str(again) == str(error) and type(again) is type(error)


@pytest.mark.parametrize("name", [n for n, row in names().items() if row.kind in KINDS])
def test_every_row_there_and_back(name):
    row = names()[name]
    whole = [end for end in (row.low, row.high) if math.isfinite(end)]
    values = [*whole, sum(whole) / 2] if len(whole) == 2 else [*whole, 0.01, 1e4]  # a row without ends
    for system in ("metric", "us"):
        for value in values:
            given = give(value, name, system)
            assert read(given, name) == pytest.approx(value, rel=1e-9)
            shown_as = given.magnitude * (100 if row.unit(system) == "%" else 1)
            assert in_unit(value, name, system) == pytest.approx(shown_as, rel=1e-9, abs=1e-12)
            assert from_unit(in_unit(value, name, system), name, system) == pytest.approx(value, rel=1e-9)


def test_shown():
    assert shown(60e-6, "wet_film") == "60 µm" and shown(60e-6, "wet_film", "us") == "2.36 mil"
    assert shown_band(40e-6, 90e-6, "wet_film") == "40 to 90 µm"
    assert shown(0.62, "volume_solids") == "62\N{NARROW NO-BREAK SPACE}%"
    assert shown(294.15, "temperature", "us") == "69.8 °F"


def test_choice():
    assert read_choice(" Metric ", ("metric", "us"), "comb") == "metric"
    with pytest.raises(InputError, match='Did you mean "metric"'):
        read_choice("metrik", ("metric", "us"), "comb")
    for bad in (None, 3, "x" * 99, []):
        with pytest.raises(InputError, match="Choose from: metric, us"):
            read_choice(bad, ("metric", "us"), "comb")


def test_ends_of_a_band_have_like_decimals():
    assert shown_band(66e-6, 75.7e-6, "wet_film", digits=3) == "66.0 to 75.7 µm"
    assert shown_band(0.44e-6, 2.1e-6, "wet_film") == "0.44 to 2.1 µm"


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("strokes", "300 %"),
        ("strokes", "3 h/min"),
        ("coats", "200 % RH"),
        ("coats", "2 ppm"),
        ("strokes", "3 mm/mm"),
        ("strokes", 300 * UREG.percent),
        ("strokes", 3 * UREG.hour / UREG.minute),
    ],
)
def test_a_count_takes_no_unit_of_something_else(name, value):
    with pytest.raises(InputError):
        read(value, name)


@pytest.mark.parametrize("value", ["30", 30, "30 strokes", 30 * UREG.dimensionless])
def test_a_count_is_a_plain_number(value):
    assert read(value, "strokes") == 30
