"""The learner's own data sheet: nothing lost, nothing evaluated, every complaint with line and remedy."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coursekit import datasheet, film, mixing
from coursekit.belief import band
from coursekit.nomenclature import load_data
from coursekit.quantities import InputError
from coursekit.sources import sources
from coursekit.uncertain import Coefficient

HEAD = '[paint]\nkind = "surfacer"\nratio = "4:1:1"\n'


def one(body, head=HEAD):
    return datasheet.read(head + body)["paint"]


def test_demo_says_what_it_says_and_what_it_lacks():
    demo = datasheet.demo()
    assert set(demo) == {"filler", "epoxy", "surfacer", "base", "clear"}
    surfacer = demo["surfacer"]
    assert surfacer.ratio == "4:1:1" and surfacer.film_per_coat == pytest.approx(30e-6)
    assert surfacer.missing == ("recoat_before",)
    assert demo["base"].missing == ("viscosity",) and "stands in" in demo["base"].sentence("viscosity")
    assert any("VOC" in remark and "disagree" in remark for remark in demo["clear"].remarks)
    for key in demo:
        report = demo[key].report("us")
        assert report and "None" not in report
        for figure, where in demo[key].where.items():
            assert where and isinstance(getattr(demo[key], figure), Coefficient)
            assert getattr(demo[key], figure).source in sources()


def test_figures_go_into_public_calls_as_they_are():
    paint = datasheet.demo()["surfacer"]
    needed = band(film.paint_needed, "1 m²", paint.film_per_coat, paint.volume_solids, "55 %")
    assert needed.low < needed.middle < needed.high
    weights = mixing.batch(paint.ratio, "400 mL", paint.densities).running_weights
    assert weights[0].m == pytest.approx(400 * 4 / 6 * 1.52)
    assert mixing.pot_life(paint.pot_life, "30 °C", paint.pot_life_temperature).m == pytest.approx(30)


def test_solids_by_mass_become_solids_by_volume_and_back():
    by_mass = one('mass_solids = "60 %"\ndensity = "1.3 kg/L"\nvolatile_density = "0.88 kg/L"\n')
    expected = film.volume_solids_from_mass("60 %", "1.3 kg/L", "0.88 kg/L").m
    assert by_mass.volume_solids == pytest.approx(expected)
    assert by_mass.volume_solids.low == by_mass.volume_solids.high
    by_volume = one(f'volume_solids = {expected}\ndensity = "1.3 kg/L"\nvolatile_density = "0.88 kg/L"\n')
    assert by_volume.mass_solids == pytest.approx(0.6)
    assert "volume_solids" not in by_mass.missing and "mass solids and density" in by_mass.where["volume_solids"]
    wide = one('mass_solids = "60 %"\ndensity = "1.3 kg/L"\n').volume_solids
    assert wide.low < expected < wide.high  # the solvent's density is a band


def test_mixed_from_its_parts():
    paint = one('densities = ["1.5 kg/L", "1.0 kg/L", "0.9 kg/L"]\ncomponent_solids = ["55 %", "60 %", 0]\n')
    assert paint.volume_solids == pytest.approx(2.8 / 6) and paint.density == pytest.approx(7.9 / 6 * 1000)
    by_mass = one('mass_ratio = "100:50"\ndensities = ["1.3 kg/L", "1.0 kg/L"]\n', '[paint]\nkind = "clear"\n')
    assert by_mass.ratio == "100:65"
    unknown = one('mass_ratio = "100:50"\n', '[paint]\nkind = "clear"\n')
    assert unknown.ratio is None and "densities" in unknown.missing and "weigh" in unknown.report()


def test_from_voc_and_weight_per_gallon_alone():
    paint = one('voc = "3.5 lb/gal"\ndensity = "11 lb/gal"\n')
    assert paint.mass_solids == pytest.approx(1 - 3.5 / 11)
    assert paint.volume_solids.low < 1 - 3.5 / 7.36 < paint.volume_solids.high
    assert "exempt" in paint.where["mass_solids"]
    water = one('voc = "400 g/L"\ndensity = "1.05 kg/L"\n', '[paint]\nkind = "water base"\n')
    assert "volume_solids" in water.missing  # not from VOC when there is water


def test_what_is_missing_is_a_band_that_says_so():
    paint = one("")
    assert {"volume_solids", "density", "viscosity", "film_per_coat", "pot_life", "voc"} <= set(paint.missing)
    assert paint.volume_solids.low == pytest.approx(0.35) and paint.volume_solids.high == pytest.approx(0.5)
    assert paint.volume_solids.kind == "from memory" and paint.pot_life.kind == "assumed"
    assert paint.film_per_coat.kind == "common practice, no source"
    assert "stands in" in paint.sentence("volume_solids") and paint.recoat_after is None
    assert "Ask for it" in paint.sentence("recoat_after")
    ranged = one('volume_solids = ["44 %", "48 %"]\n')
    assert (ranged.volume_solids.low, ranged.volume_solids.high) == pytest.approx((0.44, 0.48))
    assert "ratio" in one("", '[paint]\nkind = "clear"\n').missing


def test_figures_that_disagree_are_reported_not_mended():
    paint = one('volume_solids = "70 %"\nmass_solids = "60 %"\ndensity = "1.3 kg/L"\n')
    assert paint.volume_solids == pytest.approx(0.7) and "disagree" in paint.remarks[0]
    agree = one('volume_solids = "41 %"\nmass_solids = "60 %"\ndensity = "1.3 kg/L"\n')
    assert agree.remarks == ()
    impossible = one('mass_solids = "5 %"\ndensity = "1.4 kg/L"\n')
    assert "volume_solids" in impossible.missing and "cannot follow" in impossible.remarks[0]


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ('volume_solid = "45 %"', ["line 4", "paint.volume_solid", "Did you mean volume_solids?"]),
        ('density = "1.3 kg"', ["line 4", "paint.density", "is not a density", "kg/L"]),
        ("density = 1.3", ["line 4", "no unit"]),
        ('volume_solids = "145 %"', ["line 4", "above the range"]),
        ("volume_solids = 45", ["line 4", "above the range"]),
        ('pot_life = "1,5 h"', ["line 4", "1.5 h"]),
        ('pot_life = "10**9 h"', ["line 4", "paint.pot_life"]),
        ("pot_life = 2026-01-01", ["line 4", "paint.pot_life"]),
        ("pot_life = nan", ["line 4", "paint.pot_life"]),
        ('film_per_coat = ["40 µm", "30 µm"]', ["line 4", "lower figure first"]),
        ('film_per_coat = ["40 µm"]', ["line 4", "range"]),
        ('densities = ["1.3 kg/L", "1 kg/L"]', ["line 4", "3 parts"]),
        ('densities = "1.3 kg/L"', ["line 4", "not a list"]),
        ('viscosity = "20 s"', ["line 4", "flow cup", "cup_time"]),
        ('cup = "DIN 4"', ["line 4", "without the cup"]),
        ('cup = "cup 4"\ncup_time = "20 s"', ["line 4", "paint.cup"]),
        ('cup = "DIN 4"\ncup_time = "2 s"', ["line 5", "paint.cup_time"]),
        ('recoat_after = "3 h"\nrecoat_before = "2 h"', ["line 5", "not later"]),
        ("name = 3", ["line 4", "short text"]),
        ("[paint.more]\nx = 1", ["paint.more", "not a key"]),
        ("kind = 'clear'", ["TOML"]),
        ("=", ["TOML"]),
    ],
)
def test_complaints_name_line_field_and_remedy(body, words):
    with pytest.raises(InputError) as refusal:
        one(body + "\n")
    for word in words:
        assert word in str(refusal.value), str(refusal.value)


BROKEN = [
    "",
    "format = 2\n[a]\nkind = 'clear'",
    "kind = 'clear'",
    "[a]",
    "[a]\nkind = 'clar'",
    "[[a]]\nkind = 'clear'",
    "[a]\nkind = ['clear']",
    "[a]\nkind = 'clear'\nratio = 4",
    "[a]\nkind = 'clear'\nmass_ratio = '4:1 by volume'",
    "[a]\nkind = 'clear'\ndensities = ['1 kg/L']",
    "\0",
    "a" * 2_000_000,
]


@pytest.mark.parametrize("text", BROKEN, ids=range(len(BROKEN)))
def test_broken_files_are_one_clear_error(text):
    with pytest.raises(InputError) as refusal:
        datasheet.read(text, "mine.toml")
    assert "mine.toml" in str(refusal.value)


def test_files_are_read_and_missing_ones_said(tmp_path):
    file = tmp_path / "mine.toml"
    file.write_text(datasheet.demo_text(), encoding="utf-8")
    assert datasheet.load(file)["clear"].volume_solids == pytest.approx(0.47)
    for wrong in (tmp_path / "none.toml", tmp_path, None, 3):
        with pytest.raises(InputError):
            datasheet.load(wrong)
    with pytest.raises(InputError, match="It has"):
        datasheet.demo()["claer"]


values = st.one_of(
    st.text("az09 %:/°µ.+-²mgLh", max_size=12),
    st.floats(),
    st.integers(-(10**20), 10**20),
    st.booleans(),
    st.sampled_from(["45 %", "1.3 kg/L", "2 h", "20 °C", "30 µm", "500 g/L", "4:1:1", "DIN 4", "clear", "surfacer"]),
)


def toml(value):
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + "".join(c if c.isalnum() or c in " %:/°µ.+-" else "?" for c in value) + '"'
    return repr(value)


@settings(max_examples=300)
@given(st.dictionaries(st.sampled_from(datasheet.KEYS), values | st.lists(values, max_size=4), max_size=8))
def test_whatever_stands_in_the_file_is_read_or_refused_in_words(row):
    text = "[paint]\n" + "".join(f"{key} = {toml(value)}\n" for key, value in ({"kind": "clear"} | row).items())
    try:
        assert datasheet.read(text)["paint"].report()
    except InputError as refusal:
        assert "line" in str(refusal) or "TOML" in str(refusal)


def test_usual_materials_have_bands_in_order_and_sources():
    for kind, row in load_data("materials").items():
        assert row["source"] in sources()
        paint = one("", f'[paint]\nkind = "{kind}"\n')
        for figure in row["bands"]:
            if figure != "volatile_density":
                value = getattr(paint, figure)
                assert value.low < value < value.high, (kind, figure)
