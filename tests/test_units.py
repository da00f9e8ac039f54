"""The project's own registry of pint: it reads what the door reads, and leaves the caller's process as it is."""

import copy
import pickle
import subprocess
import sys

import numpy as np
import pint
import pytest

import coursekit
from coursekit import film, unit_grammar
from coursekit.nomenclature import KINDS, names
from coursekit.quantities import give
from coursekit.registry import units
from coursekit.unit_grammar import spelling, unit_of
from tests.calls import ROOT

SPELLINGS = sorted(
    {
        *unit_grammar.TRADE_UNITS,
        *unit_grammar._PREFIXED,
        *(prefix + atom for prefix in unit_grammar._PREFIXES for atom in unit_grammar._PREFIXED),
        *(row.unit(system) for row in names().values() for system in ("metric", "us") if row.kind in KINDS),
        *(kind.si for kind in KINDS.values()),
        "fl. oz.",
        "ft²/gal",
        "sq ft / gal",
        "ft^3",
        "m2",
        "kg·m",
        "L/min·mm²",
        "μm",
    }
    - {""}
)


@pytest.mark.parametrize("text", SPELLINGS)
def test_what_the_door_reads_the_registry_reads(text):
    unit = unit_of(text)
    assert unit is not None
    theirs = units().Quantity(2.5, text)
    si = theirs.to(units().Unit(unit.pint_name or "dimensionless")).magnitude * unit.factor + unit.offset
    assert si == pytest.approx(2.5 * unit.factor + unit.offset, rel=1e-12)
    again = units().Quantity(2.5, unit.pint_name or "dimensionless").to(text)
    assert again.magnitude == pytest.approx(2.5, rel=1e-12) and again.units == theirs.units


def test_results_are_turned_into_units_of_the_trade():
    assert film.dry_film("120 µm", "45 %").to("mil").magnitude == pytest.approx(54 / 25.4)
    assert film.spreading_rate("1 mil").to("sq ft/gal").magnitude == pytest.approx(1604, abs=1)
    assert give(1e-3, "total").to("fl oz").magnitude == pytest.approx(33.814, abs=1e-3)
    assert give(1e-3, "air_use").to("scfm").magnitude == pytest.approx(2.119, abs=1e-3)
    assert coursekit.units("4.7 mil") == coursekit.units.Quantity(4.7, "thou")
    with pytest.raises(pint.DimensionalityError):
        film.dry_film("120 µm", "45 %").to("fl oz")


def test_arrays_and_sums():
    films = film.dry_film(["100 µm", "200 µm"], "50 %")
    total = films + coursekit.units.Quantity(1, "mil")
    np.testing.assert_allclose(total.to("µm").magnitude, [75.4, 125.4])
    assert film.wet_film(total, "50 %").to("µm").magnitude == pytest.approx([150.8, 250.8])
    assert sum(films, start=0 * films[0]).to("µm").magnitude == pytest.approx(150)


def test_an_axis_with_units():
    import matplotlib.units as axis_units
    from matplotlib.figure import Figure

    before = dict(axis_units.registry)
    coursekit.units.setup_matplotlib()
    try:
        axes = Figure().subplots()
        films = film.dry_film(["100 µm", "200 µm", "300 µm"], "50 %")
        axes.plot([1, 2, 3], films)
        axes.plot([1, 2, 3], films.to("mil"))
        for line in axes.lines:  # both in the unit of the first
            np.testing.assert_allclose(line.get_ydata(orig=False), [50, 100, 150])
        assert "micrometer" in axes.yaxis.label.get_text()
        axes.yaxis.set_units(coursekit.units.mil)
        np.testing.assert_allclose(axes.lines[0].get_ydata(orig=False), np.array([50, 100, 150]) / 25.4)
    finally:
        coursekit.units.setup_matplotlib(False)
    assert dict(axis_units.registry) == before


def test_quantities_come_back_from_another_process_in_the_same_registry():
    films = film.dry_film(["100 µm", "200 µm"], "50 %").to("mil")
    for again in (pickle.loads(pickle.dumps(films)), copy.copy(films), copy.deepcopy(films)):
        assert again.units == films.units
        np.testing.assert_array_equal((again - films).magnitude, [0, 0])
    assert pickle.loads(pickle.dumps(films.units)) == films.units


def test_a_callers_own_registry_is_taken():
    own = pint.UnitRegistry()
    own.define("card = 0.3 * millimeter")
    assert film.dry_film(own.Quantity(1, "card"), "50 %").to("µm").magnitude == pytest.approx(150)


UNCHANGED = """
import os, sys
before = dict(os.environ), set(sys.modules)
import coursekit
assert dict(os.environ) == before[0], set(os.environ) ^ set(before[0])
assert not {"numpy", "pint", "matplotlib"} & set(sys.modules)
import pint
theirs = pint.get_application_registry()
mil = theirs.Quantity(1, "mil").dimensionality
coursekit.film.dry_film("1 mil", "50 %").to("mil")
assert pint.get_application_registry().get() is theirs.get() is not coursekit.units
assert theirs.Quantity(1, "mil").dimensionality == mil and dict(os.environ) == before[0]
assert "film" in dir(coursekit) and not {"os", "errors", "annotations"} & set(dir(coursekit)), dir(coursekit)
"""


def test_import_leaves_the_process_as_it_is():
    done = subprocess.run([sys.executable, "-c", UNCHANGED], capture_output=True, text=True, cwd=ROOT, timeout=60)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("name", [n for n, row in names().items() if row.kind in KINDS and row.metric])
def test_a_unit_as_pint_prints_it_is_spelled_as_the_trade_does(name):
    for system in ("metric", "us"):
        unit = unit_of(names()[name].unit(system))
        spelled = spelling(str(units().Quantity(1, unit.pint_name or "dimensionless").units))
        if spelled != "?":  # a message then speaks the unit of the row
            assert unit_of(spelled).factor == pytest.approx(unit.factor, rel=1e-12)
            assert unit_of(spelled).dimension == unit.dimension
