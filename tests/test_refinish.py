"""Usual times of refinish materials: minutes and hours, with their marks, and what recipes take for them."""

import pytest

from coursekit import drying, lesson
from coursekit.nomenclature import load_data, names
from coursekit.quantities import read
from coursekit.sources import sources
from tests.calls import refused


def test_every_row_is_marked_and_in_order():
    for row in load_data("refinish_times")["row"]:
        assert row["material"] in names()["refinish_material"].options
        assert row["what"] in ("flash", "recoat from", "recoat until", "sand from", "dry", "pot life")
        assert sources()[row["source"]].kind == row["kind"]
        assert 0 < read(row["low"], "recoat_time") <= read(row["high"], "recoat_time")


@pytest.mark.parametrize(
    ("material", "key", "what"),
    [
        ("filler", "dry_to_sand", "sand from"),
        ("filler", "pot_life", "pot life"),
        ("epoxy primer", "dry_to_recoat", "recoat from"),
        ("epoxy primer", "recoat_until", "recoat until"),
        ("epoxy primer", "pot_life", "pot life"),
        ("surfacer", "dry_to_sand", "sand from"),
        ("surfacer", "pot_life", "pot life"),
        ("base", "dry_to_recoat", "recoat from"),
        ("base", "recoat_until", "recoat until"),
        ("clear", "dry_to_recoat", "flash"),
        ("clear", "dry_to_sand", "sand from"),
        ("clear", "pot_life", "pot life"),
    ],
)
def test_what_a_recipe_takes_lies_within_what_sheets_print(material, key, what):
    mine = read(load_data("repair_materials")[material][key], "recoat_time")
    rows = [row for row in drying.refinish_times(material) if row.what == what and row.temperature.m_as("degC") < 30]
    assert min(r.low for r in rows).m_as("second") <= mine <= max(r.high for r in rows).m_as("second")


def test_a_refinish_window_is_not_a_structural_one():
    """Base to clear within minutes; polyurethane on a bridge at 20 °C from 8 h on."""
    opens = min(row.high.m_as("hour") for row in drying.refinish_times("base") if row.what == "recoat from")
    assert opens == 0.5 and drying.structural_recoat_window("20 °C").earliest.m_as("hour") == 8
    flashes = [row for row in drying.refinish_times("clear") if row.what == "flash"]
    ends = [end.m_as("minute") for row in flashes for end in (row.low, row.high)]
    assert ends == pytest.approx([3, 5, 5, 10, 10, 15])


def test_the_page_shows_them_with_their_marks():
    page = lesson.usual_times("base", "clear")
    assert "from memory" in repr(page) and "published" in repr(page)
    assert "10 min to 30 min" in repr(page) and "your own sheet comes first" in repr(page)
    with refused("choice", "refinish_material"):
        lesson.usual_times("varnish")
