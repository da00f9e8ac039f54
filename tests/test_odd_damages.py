"""Damages unlike those of a course: a chip, a scratch deep in the clear, filler in the cold, a low beside a line."""

from dataclasses import replace

import numpy as np
import pytest

from coursekit import panel, repair
from coursekit.panel.state import cells_of
from coursekit.repair import damage
from coursekit.repair.outline import Choice, filled_at, is_polished_out
from coursekit.repair.proposing import Search
from coursekit.repair.refusing import refusals
from coursekit.repair.rules import rule
from coursekit.repair.sequences import outline, without_steps
from coursekit.repair.steps import Block, Fill, HandSand, Polish
from coursekit.repair.vocabulary import tools
from tests.damages import HEAD

CHIP = '[panel]\nkind = "bonnet"\n[damage]\nwidth = "10 mm"\nheight = "10 mm"\ndepth = "0.1 mm"\nreaches = "bare"\n'
SCRATCH = '[panel]\n{}[damage]\nwidth = "150 mm"\nheight = "10 mm"\ndepth = "{} µm"\nreaches = "clear"\n'
BESIDE = '[damage]\ny = "325 mm"\nwidth = "250 mm"\nheight = "150 mm"\ndepth = "0.8 mm"\n'


def read(text):
    return damage.loads(HEAD + text)


def written(found, choice=None):
    return Search(found, 1, None, None).written(choice or Choice())


def test_a_chip_is_primed_filled_no_wider_than_its_feather_and_levelled_with_one_paper():
    found = read(CHIP)
    search = Search(found, 1, None, None)
    made, recipe = search.written(search.first())
    assert [step.brings for step in recipe.steps if step.brings][:3] == ["epoxy primer", "filler", "surfacer"]
    fill = next(step for step in recipe.steps if isinstance(step, Fill))
    assert fill.area[1] - fill.area[0] < 0.07, "a spot, and not a hand's breadth"
    assert recipe.panel["damage"]["low"] == 0, "what is gone is paint"
    coming = recipe.steps[fill.number :]
    assert [str(step.paper) for step in coming if isinstance(step, Block)] == ["P180", "P320"]
    assert made.steps[fill.number - 1].table["time"] == "2 min"
    assert search.look(search.first()).score[0] == 0, "the first look at it passes no limit"


def test_a_chip_as_deep_as_sheet_is_a_low_and_a_wider_one_no_chip():
    deep, wide = (read(CHIP.replace(*change)) for change in (("0.1 mm", "0.5 mm"), ("10 mm", "40 mm")))
    assert deep.is_chip and deep.low == pytest.approx(0.5e-3)
    assert not wide.is_chip and written(wide)[1].panel["damage"]["stripped"] == pytest.approx(15e-3)


def test_a_scratch_is_polished_out_as_far_as_published_limits_let_clear_go():
    """The strict limit where nobody measured the old paint: its clear is not known."""
    assert is_polished_out(read(SCRATCH.format("", 6))) and not is_polished_out(read(SCRATCH.format("", 7)))
    thick = 'old_paint = "150 µm"\n'
    assert is_polished_out(read(SCRATCH.format(thick, 10))) and not is_polished_out(read(SCRATCH.format(thick, 11)))
    assert not is_polished_out(read(SCRATCH.format('old_paint = "90 µm"\n', 2))), "hardly enough clear as it is"


def test_a_scratch_deeper_than_that_is_sanded_out_and_cleared_and_the_plan_says_why():
    found = read(SCRATCH.format("", 20))
    made, recipe = written(found)
    assert [step.brings for step in recipe.steps if step.brings] == ["clear"]
    assert not any(isinstance(step, Polish) for step in recipe.steps)
    number = next(n for n, step in enumerate(recipe.steps, 1) if isinstance(step, HandSand))
    assert "keeps too little ultraviolet out" in made.steps[number - 1].why
    played = repair.replay(recipe, preview=True, until=number)
    over = cells_of(played.start, played.recipe.damage_area)
    off = (played.start.film("old clear") - played[-1].panel.film("old clear"))[over].mean()
    assert off == pytest.approx(1.2 * 20e-6, rel=0.15) and played[-1].verdict.go


def test_a_scratch_through_nearly_all_of_the_clear_is_one_to_the_base():
    assert read(SCRATCH.format("", 40)).reaches == "base"
    untold = SCRATCH.format("", 40).replace("40 µm", "unknown")
    assert read(untold).reaches == "clear" and read(untold).scratch < 45e-6


def test_filler_is_spread_in_the_booth_where_the_own_garage_is_too_cold_for_it():
    cold = read('[garage]\ntemperature = "3 °C"\n')
    assert not refusals(cold, without_steps(cold), True)
    made = outline(cold, Choice(), without_steps(cold))
    assert rule("place.filler").says in made.steps[1].why
    usual = outline(read(""), Choice(), without_steps(read("")))
    assert filled_at(cold) == pytest.approx(293.15) and made.steps[2] == usual.steps[2], "as long as in the booth"
    home = replace(cold, garage=replace(cold.garage, spray_at="home", extraction="yes", supplied_air="yes"))
    said = [one.text() for one in refusals(home, without_steps(home), True)]
    assert any("hardly cure" in one and 'spray_at = "booth"' in one for one in said)
    scratch = read(SCRATCH.format("", 4) + '[garage]\ntemperature = "3 °C"\nspray_at = "home"\n')
    assert not refusals(scratch, without_steps(scratch), False), "nothing has to cure where it is polished out"


def test_filler_is_spread_longer_over_more_of_a_panel():
    times = [
        float(
            written(read(f'[damage]\nwidth = "{wide} mm"\nheight = "150 mm"\n'))[0].steps[1].table["time"].split()[0]
        )
        for wide in (50, 250, 700)
    ]
    assert times == sorted(times) and times[0] < 7 < times[1] < 15 < times[2]


def test_what_is_filled_beside_a_body_line_is_not_opened_across_it():
    search = Search(read(BESIDE), 1, None, None)
    _, recipe = search.written(Choice())
    start = repair.replay(recipe, preview=True, until=1).start
    row, column = int(0.2975 / start.cell), int(0.6 / start.cell)
    film = start.film("old primer")[:, column]
    assert film[row] == film[0] > 0 and film[row + 1] < 0.7 * film[0]


def test_filler_drawn_off_along_a_body_line_is_as_high_as_its_surroundings_there():
    """What lies bare under the tape's edge does not pull its level down."""
    door = panel.sheet_metal(panel.door(0.6, 0.5, line_height=0.2), coats=panel.FACTORY_COATS)
    bare = np.zeros(door.dents.shape)
    bare[int(0.2 / door.cell) : int(0.3 / door.cell), 40:80] = 50e-6
    door = replace(door, dents=door.dents - bare)
    here = (0.15, 0.45, 0.2, 0.35)
    filled, _ = panel.fill(door, area=here, proud=0.0, ripple=0.0)
    row, column = int(0.2025 / door.cell), int(0.3 / door.cell)
    assert filled.surface[row, column] == pytest.approx(door.surface[0, column], abs=1e-6)


def test_few_scratches_of_an_earlier_paper_are_filled_as_many_are():
    """Most of P180 left under surfacer that fills it was no obstacle, and half of it was."""
    search = Search(read(CHIP), 1, None, None)
    played = search.looked(search.first(), "scuff")
    entry = played[-1]
    assert 0.05 < entry.condition.other_paper < 0.5 and entry.verdict.go
    assert "left on" in entry.verdict.text() and "the next film has to fill them" in entry.verdict.text()


@pytest.mark.parametrize(("x", "middle"), [("497 mm", 0.499), ("0 mm", 0.005), ("1196 mm", 1.195)])
def test_a_scratch_narrower_than_the_grid_lies_on_it(x, middle):
    """A key leaves 4 mm; the panel is computed in squares of 5 mm."""
    found = read(f'[damage]\nx = "{x}"\nwidth = "4 mm"\nheight = "120 mm"\nreaches = "base"\n')
    _, recipe = written(found)
    left, right = recipe.damage_area[:2]
    assert right - left == pytest.approx(0.01) and (left + right) / 2 == pytest.approx(middle)


def test_beside_a_body_line_the_block_goes_along_it_with_its_edge_at_the_tape():
    """Strokes that turn at the line pass the strip beside it less than half as often, so that it stays proud."""
    search = Search(read(BESIDE), 1, None, None)
    made, recipe = search.written(search.first())
    led = [step for step, planned in zip(recipe.steps, made.steps, strict=True) if planned.role.endswith("line")]
    assert [str(step.paper) for step in led] == ["P180", "P320"]
    for step in led:
        assert step.direction == "along" and step.area[2] - step.holds().width / 2 == pytest.approx(0.3)
    played = search.played(search.first(), "filler line")[1]
    before, after = played[-2].condition.waves, played[-1].condition.waves
    assert after < 0.8 * before
    away = written(read(BESIDE.replace("325 mm", "500 mm")))[0]
    assert not any(step.role.endswith("line") for step in away.steps)


def test_a_damage_of_unknown_place_lies_off_the_body_line():
    """On a door the middle of the panel is a finger's breadth above its line, where few plans hold."""
    for kind, at in (("door", 0.475), ("bonnet", 0.575), ("bumper", 0.06)):
        found = read(f'[panel]\nkind = "{kind}"\n[damage]\nheight = "150 mm"\n')
        assert found.corner[1] == pytest.approx(at, abs=5e-3)
    assert read('[damage]\ny = "325 mm"\n').corner[1] == pytest.approx(0.325)


@pytest.mark.parametrize("low", [0.305, 0.31, 0.315])
def test_a_block_whose_reach_ends_short_of_a_ridge_leaves_the_line_alone(low):
    """Led beside a body line it may not come near the line's own cells: its ridge stays, and nothing fails."""
    door = panel.sheet_metal(panel.door(0.6, 0.6, line_height=0.3), coats=panel.FACTORY_COATS)
    tool = tools()["soft pad"]
    held = panel.Tool("pad", 0.02, 0.02, 1e8, tool["bending"])
    paper = panel.paper_of("P320", held, 4.0, {})
    here = (0.25, 0.35, low + 0.01, low + 0.05)
    new, used = panel.block(door, tool=held, paper=paper, force=4.0, strokes=20, area=here, keep_off=0.0)
    after, before = (next(one for one in each.sections if one.line.kind == "body line") for each in (new, door))
    ridge = np.abs(before.across) < 3e-3
    assert used.removed and np.isfinite(after.thickness).all()
    assert np.array_equal(after.thickness[..., ridge], before.thickness[..., ridge])
