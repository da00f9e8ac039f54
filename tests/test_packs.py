"""The shopping list as a shop fills it: whole sheets, discs, cans, rolls, and what keeps the worker whole."""

import math

import pytest

from coursekit import repair
from coursekit.repair import damage, sheet_shopping
from coursekit.repair.pricing import WARES
from coursekit.repair.sheet_packs import to_buy
from coursekit.repair.writing import recipe_text
from tests.test_cautions import leave


@pytest.fixture(scope="module")
def demo():
    return repair.replay(repair.demo_path(), preview=True)


def test_every_row_of_the_list_is_in_a_pack_that_is_enough(demo):
    bought = {one.what: one for one in to_buy(demo)}
    poured = [row for row in sheet_shopping.rows(demo) if row.ware.counted_by == "bought_volume"]
    assert len(poured) > 5
    for row in poured:
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
    assert fine.packs == math.ceil(pieces / 6)
    assert "paper P600, discs" in papers and "disc" in papers["paper P600, discs"].words


def test_what_is_there_is_not_bought(demo):
    stock = damage.loads('format = 1\n[stock]\npapers = ["P320"]\nmaterials = ["surfacer", "filler"]\n').stock
    without, having = to_buy(demo), to_buy(demo, stock)
    there = {one.what for one in having if one.there}
    assert there == {"paper P320", "surfacer", "filler", "activator for surfacer", "reducer for surfacer"}
    assert not any(one.there for one in without) and all(one.words == "have it" for one in having if one.there)


def masks(bought):
    """The rows that are for breathing."""
    return [one for one in bought if any(word in one.what for word in ("half mask", "filter", "supplied air"))]


@pytest.mark.parametrize("system", ["metric", "us"])
def test_no_mask_is_offered_for_what_it_does_not_hold(demo, system):
    """A particle filter stops no vapour, and no filter is offered for paint with a hardener."""
    bought = to_buy(demo, system=system)
    assert len(masks(bought)) == 4 and any(one.what == "nitrile gloves" for one in bought)
    for one in masks(bought):
        for_what = one.note.split(";")[0]
        if any(work in for_what for work in ("mixing", "wiping", "filling")):
            assert "A2" in one.what or "organic vapour" in one.what, one
        if "spray" in for_what:
            assert "supplied air" in one.what and one.words == "not from this list", one
    assert not any(leave(f"{one.what}. {one.note}") for one in bought)
    told = " ".join(one.note for one in masks(bought))
    for work in ("dry sanding", "wiping, filling and mixing", "for spraying two-part paint no mask from this list"):
        assert work in told
    assert "does not protect against isocyanate" in told
    assert ("P3" in " ".join(one.what for one in masks(bought))) is (system == "metric")
    assert ("in the US" in told) is (system == "us")


def test_a_filter_against_vapour_is_asked_for_by_what_gives_vapour_off():
    """Wiping alone asks for it, and mixing alone; supplied air is asked for by what has a hardener, never by base."""
    recipe = repair.load(repair.demo_path())
    first = {}
    for step in recipe.steps:
        first.setdefault(step.brings or step.do, step.number)
    tables = recipe.written["step"]
    panel = {key: value for key, value in recipe.written["panel"].items() if key != "damage"}  # nothing laid bare

    def offered(*kinds):
        steps = [tables[first[kind] - 1] for kind in kinds]
        bought = to_buy(
            repair.replay(repair.loads(recipe_text({**recipe.written, "panel": panel, "step": steps})), preview=True)
        )
        return {one.what for one in masks(bought)}

    mask, vapour, air = (
        "half mask that closes to your face",
        "pair of combined filters A2-P3 for the half mask",
        "supplied air, or a professional shop's booth",
    )
    assert offered("clean") == {mask, vapour}
    assert offered("filler") == {mask, vapour}
    assert offered("base") == {mask, vapour}
    assert offered("surfacer") == {mask, vapour, air}


def test_a_price_names_the_pack():
    text = repair.demo_path().read_text(encoding="utf-8") + '\n[price]\nclear = "45 per 750 mL"\n'
    found = repair.replay(repair.loads(text), preview=True)
    assert next(one for one in to_buy(found) if one.what == "clear").words == "1 × 750 mL"


def test_a_thing_to_buy_says_what_it_is_without_its_name_being_read(demo):
    """Part, material and grade are data."""
    for row in (*sheet_shopping.rows(demo), *(one for one in to_buy(demo) if one.ware is not None)):
        ware = row.ware
        assert (ware.grade is not None) is (ware.kind == "paper") and (ware.material != "") is (ware.kind == "paint")
        assert ware.kind == "paper" or ware == WARES[ware.name]
    stock = damage.loads('format = 1\n[stock]\npapers = ["P60"]\nmaterials = ["base"]\n').stock
    there = {one.what for one in to_buy(demo, stock) if one.there}
    assert there == {"base", "reducer for base"}, "P600 is on the list, P60 is not"


def test_tools_are_on_the_list_with_and_without_what_is_there(demo):
    stock = damage.loads('format = 1\n[stock]\ntools = ["rubber block", "spray gun", "lamp"]\n').stock
    without, having = to_buy(demo), to_buy(demo, stock)
    held = {entry.step.tool for entry in demo if hasattr(entry.step, "tool")}
    listed = {one.tool for one in without if one.tool}
    assert held <= listed and {"spray gun", "film comb", "lamp", "spreaders", "scale"} <= listed
    assert {one.tool for one in having if one.there} == {"rubber block", "spray gun", "lamp"} & listed
    assert all(one.words == "1" for one in without if one.tool)


def test_what_no_step_needs_is_not_on_the_list(demo):
    written = demo.recipe.written
    panel = {key: value for key, value in written["panel"].items() if key != "damage"}
    bare = repair.loads(recipe_text({**written, "panel": panel, "step": [{"do": "clean"}]}))
    assert not [one for one in to_buy(repair.replay(bare, preview=True)) if one.tool]


def test_us_packs_are_those_of_us_shops(demo):
    """Pints, quarts and gallons, not litres turned into ounces; each is enough."""
    sizes = {"8 fl oz": 8, "pint": 16, "quart": 32, "gallon": 128}
    ounce = 231 * 0.0254**3 / 128
    bought = {one.what: one for one in to_buy(demo, system="us")}
    for row in sheet_shopping.rows(demo):
        if row.ware.counted_by == "bought_volume":
            assert bought[row.what].packs * sizes[bought[row.what].pack] * ounce >= row.buy - 1e-12, row.what
    assert bought["masking tape"].pack == "roll of 180 ft"
