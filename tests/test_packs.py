"""The shopping list as a shop fills it: whole sheets, discs, tins, rolls, and what keeps the worker whole."""

import math

import pytest

from coursekit import repair
from coursekit.repair import damage, sheet_shopping
from coursekit.repair.sheet_packs import to_buy


@pytest.fixture(scope="module")
def demo():
    return repair.replay(repair.demo_path(), preview=True)


def test_every_row_of_the_list_is_in_a_pack_that_is_enough(demo):
    bought = {one.what: one for one in to_buy(demo)}
    for row in sheet_shopping.rows(demo):
        if row.kind == "bought_volume":
            count, size = bought[row.what].words.split(" × ")
            number, unit = size.split()
            volume = float(number) * {"mL": 1e-6, "L": 1e-3}[unit.replace("\u202f", "")]
            assert int(count) * volume >= row.buy - 1e-12, row.what


def test_paper_is_whole_sheets_and_no_more_than_it_takes(demo):
    """A sheet of 230 × 280 mm gives six pieces of 70 × 125 mm: the demo's list was dozens of pieces."""
    papers = {one.what: one for one in to_buy(demo) if one.what.startswith("paper ")}
    assert all(one.packs >= 1 for one in papers.values())
    fine = papers["paper P320"]
    pieces = int(fine.need.split()[0])
    assert math.ceil(pieces / 9) <= fine.packs <= math.ceil(pieces / 6)
    assert "paper P600, discs" in papers and "disc" in papers["paper P600, discs"].words


def test_what_is_there_is_not_bought(demo):
    stock = damage.loads('format = 1\n[stock]\npapers = ["P320"]\nmaterials = ["surfacer", "filler"]\n').stock
    without, having = to_buy(demo), to_buy(demo, stock)
    there = {one.what for one in having if one.there}
    assert there == {"paper P320", "surfacer", "filler", "activator for surfacer", "reducer for surfacer"}
    assert not any(one.there for one in without) and all(one.words == "have it" for one in having if one.there)


def test_the_worker_is_on_the_list_and_no_mask_is_offered_against_isocyanate(demo):
    told = {one.what: one.note for one in to_buy(demo)}
    assert "nitrile gloves" in told and any("P3" in what for what in told)
    assert any("goes through every filter mask" in note for note in told.values())


def test_a_price_names_the_pack():
    text = repair.demo_path().read_text(encoding="utf-8") + '\n[price]\nclear = "45 per 750 mL"\n'
    found = repair.replay(repair.loads(text), preview=True)
    assert next(one for one in to_buy(found) if one.what == "clear").words == "1 × 750 mL"
