"""What an expert would not let pass: papers that do not fit, overspray taken for a coat, lines through, wax."""

import re

import numpy as np
import pytest

from coursekit import panel, repair
from coursekit.panel.spraying import ran_off
from coursekit.repair.change import change_of
from coursekit.repair.condition import STRICT_SLOPE, condition_of
from coursekit.repair.decisions import recoat_or_go_on
from coursekit.repair.plan import plan_checks, plan_lines
from coursekit.repair.readiness import FULL_BUILD, too_deep, waves_reasons
from coursekit.repair.steps import Block, HandSand
from coursekit.sources import coefficient

HEAD = """
format = 2
title = "A door"
[panel]
shape = "{shape}"
cell = "10 mm"
"""
CLEAN = 'do = "clean"\nwipes = 3'
WAIT = 'do = "wait"\ntime = "8 h"'
DULL = 'do = "hand sand"\npaper = "P320"\nforce = "15 N"\nstrokes = 60'
SURFACER = 'do = "spray"\nmaterial = "surfacer"\ncoats = 2\nflash = "12 min"'
BASE = 'do = "spray"\nmaterial = "base"\ncoats = 3'
FILLER = 'do = "fill"\nproud = "0.5 mm"\narea = { x = "100 mm", y = "100 mm", width = "250 mm", height = "200 mm" }'
WHERE = 'area = { x = "100 mm", y = "100 mm", width = "250 mm", height = "200 mm" }'
SPOT = 'area = { x = "400 mm", y = "500 mm", width = "300 mm", height = "200 mm" }'


def block(paper, strokes, force="20 N", more=""):
    return f'do = "block"\npaper = "{paper}"\nforce = "{force}"\nstrokes = {strokes}\n{more}'


def played(*steps, shape="test card"):
    text = HEAD.format(shape=shape)
    return repair.replay(repair.loads(text + "".join(f"\n[[step]]\n{step}\n" for step in steps)))


def against(entry):
    return " | ".join(reason.text() for reason in entry.verdict.reasons if reason.against)


# --- papers ------------------------------------------------------------------------------------------------


def test_fine_paper_does_not_level_filler():
    fine = played(CLEAN, FILLER, WAIT, block("P600", 60, more=WHERE), CLEAN, SURFACER)
    right = played(CLEAN, FILLER, WAIT, block("P80", 30, more=WHERE), block("P180", 60, more=WHERE), CLEAN, SURFACER)
    assert "P600 does not level filler" in against(fine[3])
    assert "does not level" not in against(right[3]) + against(right[4])


@pytest.mark.parametrize(("paper", "told"), [("P180", False), ("P320", False), ("CAMI 320", False), ("P600", True)])
def test_a_key_too_fine_for_surfacer(paper, told):
    replay = played(CLEAN, DULL, CLEAN, SURFACER, WAIT, block(paper, 150), CLEAN, SURFACER)
    assert ("too fine a key for surfacer" in against(replay[5])) is told


def test_from_180_to_600_wants_320_between():
    large = played(CLEAN, DULL, CLEAN, SURFACER, WAIT, block("P180", 15), block("P600", 60), CLEAN, BASE)
    assert "put P320 between" in against(large[6])
    assert any("Put P320 between" in one.text() for one in plan_checks(large) if one.against)
    between = played(
        CLEAN, DULL, CLEAN, SURFACER, WAIT, block("P180", 15), block("P320", 60), block("P600", 60), CLEAN, BASE
    )
    assert not any("between" in against(entry) for entry in between)
    assert not any("follows" in one.text() for one in plan_checks(between))


def test_wax_left_on_is_told_in_the_headline_and_at_the_end():
    dirty = played(DULL, CLEAN, SURFACER, WAIT, block("P600", 60), CLEAN, BASE)
    assert re.match(r"Plan checks: [1-9]\d* problems? found in this plan", next(plan_lines(dirty)))
    found = [one for one in plan_checks(dirty) if one.topic == "degreasing"]
    assert found and found[0].steps[0] == 1 and all(one.against for one in found)
    assert "trapped under the films" in against(dirty[6]) and not dirty[6].verdict.go
    clean = played(CLEAN, DULL, CLEAN, SURFACER, WAIT, block("P600", 60), CLEAN, BASE)
    assert not [one for one in plan_checks(clean) if one.topic == "degreasing"]
    assert "trapped under the films" not in against(clean[6])


def test_fingers_without_a_block_are_told_why_not():
    replay = played(
        CLEAN,
        DULL,
        CLEAN,
        SURFACER,
        WAIT,
        'do = "hand sand"\ntool = "fingers"\npaper = "P320"\nforce = "5 N"\nstrokes = 20\n' + SPOT,
        shape="door",
    )
    assert any("dig grooves" in reason.text() for reason in replay[5].verdict.reasons)


# --- overspray ---------------------------------------------------------------------------------------------


def sprayed_spot(flow=4.2e-6):
    door = panel.sheet_metal(panel.door(1.2, 0.8, 10e-3), coats=panel.FACTORY_COATS, contamination=0.0)
    return panel.spray(
        door, material="surfacer", volume_solids=0.45, flow=flow, speed=0.35, pitch=0.1, area=(0.4, 0.8, 0.3, 0.6)
    )[0]


def test_mist_beyond_the_area_is_sanded_off_without_a_word():
    sanded = 'do = "machine sand"\npaper = "P500"\nforce = "15 N"\ntime = "6 min"'
    replay = played(CLEAN, DULL, CLEAN, f"{SURFACER}\n{SPOT}", WAIT, sanded, CLEAN, BASE, shape="door")
    before, after = replay[4].panel, replay[5].panel
    beyond = ~before.layers[-1].aimed & before.shape.inside
    mist = beyond & (before.film("surfacer") > 0.1e-6)
    gone = mist & (after.film("surfacer") <= 0.1e-6)
    assert gone.sum() * before.cell_area > 100e-4, "a good deal of mist was sanded off"
    assert not replay[5].change.broken and "broken through" not in against(replay[5])


def test_the_same_film_on_the_area_that_was_meant_is_broken_through():
    wet = sprayed_spot()
    dry = panel.wait(wet, time=1e5)[0]
    tool = panel.Tool("block", 0.125, 0.07, 1e9)
    hard, used = panel.block(
        dry,
        tool=tool,
        paper=panel.paper_of("P320", tool, 40.0),
        force=40.0,
        strokes=400,
        area=(0.3, 0.9, 0.2, 0.7),
        keep_off=0.0,
    )
    step = played(block("P320", 1), shape="door").recipe.steps[0]
    broken = change_of(step, dry, hard, used).broken
    aimed = dry.layers[-1].aimed
    open_now = aimed & (hard.film("surfacer") <= 0.1e-6)
    # The area is finer than the cells.
    assert broken["surfacer", "old paint"] == pytest.approx(open_now.sum() * dry.cell_area, rel=0.02)
    assert condition_of(dry, None).film["surfacer"].thin > 5e-6, "mist is no part of the film that is judged"


def test_a_mist_on_the_area_that_was_meant_is_told():
    thin = 'do = "spray"\nmaterial = "surfacer"\nfluid_delivery = "10 mL/min"\ngun_speed = "1 m/s"'
    replay = played(CLEAN, DULL, CLEAN, thin)
    assert "is a mist, not a coat" in against(replay[3])


# --- lines -------------------------------------------------------------------------------------------------


def test_film_drawn_off_a_line_lies_beside_it():
    across = np.linspace(-10e-3, 10e-3, 4001)
    for on_top in (0.3, 0.85, 1.1):
        film = ran_off(across, on_top)
        assert film[2000] == pytest.approx(on_top) and film.mean() == pytest.approx(1, abs=1e-6)
    panel_now = sprayed_spot()
    line = next(one for one in panel_now.sections if one.line.kind == "body line")
    full = panel_now.film("surfacer")[line.at]
    there = full > 5e-6
    assert there.any()
    top = line.thickness[-1][there].min(axis=1) / full[there]
    assert top.min() == pytest.approx(float(coefficient("film_on_line")), abs=0.01)


def test_an_edge_down_to_steel_counts_and_says_how_long_and_what_first(rough):
    replay = played(
        CLEAN,
        block("P80", 300, "40 N", 'overhang = "45 %"'),
        CLEAN,
        DULL,
        CLEAN,
        'do = "spray"\nmaterial = "surfacer"',
        shape="door",
    )
    told = against(replay[3])
    assert "bare metal shows along" in told and "corrosion-protecting primer" in told
    opened = replay[1].change.lines
    assert opened and all(one.length > 0.01 and 0 < one.share <= 1 for one in opened.values())
    assert any(one.to == "bare metal" for one in opened.values())


def moved(recipe, steps, **areas):
    """The demo with the areas of some steps changed; each x, y, width, height in mm."""
    for number in steps:
        for key, ends in areas.items():
            recipe = recipe.changed(
                "step",
                number,
                key,
                to=dict(zip(("x", "y", "width", "height"), (f"{end} mm" for end in ends), strict=True)),
            )
    return recipe


def test_where_the_worst_waves_sit_is_said_and_what_is_right_there():
    demo = repair.load(repair.demo_path())
    wide = repair.replay(demo)
    told = next(reason.text() for reason in wide[22].verdict.reasons if "strict" in reason.text())
    assert "The worst sit below the damage" in told and "Under a tube lamp as far off as the eye" in told
    assert wide[22].condition.in_damage < wide[22].condition.on_rim <= 10
    # P80 led over the paint around the filler digs where nothing fills: the rim is told, and feathering cures it.
    dug = repair.replay(moved(demo, (4, 5, 6), area=(330, 390, 480, 320)).changed("step", 5, "strokes", to=450))
    rim = [reason.text() for reason in dug[16].verdict.reasons if reason.against]
    assert any("More strokes there only dig deeper. Feather out wider" in words for words in rim), rim
    assert dug[16].condition.in_damage < 3 < 10 < dug[16].condition.waves
    assert wide[16].condition.waves < 0.5 * dug[16].condition.waves
    hurried = repair.replay(repair.demo_path("impatient_repair"))
    assert "The worst sit in the damage" in against(hurried[9])
    assert "Paint does not hide them" in against(hurried[-1])


def test_the_edge_that_a_tape_left_is_told_until_it_is_feathered():
    demo = repair.load(repair.demo_path())
    near = repair.replay(moved(demo, (9,), open=(230, 330, 680, 440)))
    for number in (17, 23, 28):
        assert "it shows as a ring" in against(near[number - 1]) or "shows through as a ring" in against(
            near[number - 1]
        )
    assert near[16].condition.ring > 20
    wide = repair.replay(demo)
    assert all(entry.condition.ring < 10 and "as a ring" not in against(entry) for entry in wide)
    assert wide[11].condition.ring > 0, "a tape's edge is there"
    flat = repair.replay(repair.demo_path("impatient_repair"))
    assert "Feather it" in against(flat[9]) and flat[9].condition.ring > 100


def test_waves_deeper_than_the_film_bears_ask_for_film_and_deeper_than_surfacer_builds_for_filler():
    """A sine of slope s and length l is s·l/2π high: of 30 times the strict eye's slope and 0.2 m, 139 µm."""
    step = played(block("P320", 1)).recipe.steps[0]
    assert step.number == 1
    card = panel.sheet_metal(panel.test_card(0.3, 0.2, 10e-3), coats=(("surfacer", 40e-6),), contamination=0.0)
    like = condition_of(card, None)._replace(wavelength=0.2)
    a_kind = 10 * STRICT_SLOPE * 0.2 / (2 * np.pi)
    for times, told in (
        (13, "Block on while the film lasts"),
        (20, "full coats of surfacer first"),
        (73, "Sand back to the filler"),
    ):
        after = like._replace(waves=float(times))
        deep = 2 * (times * STRICT_SLOPE * 0.2 / (2 * np.pi) - a_kind)
        assert too_deep(after) == pytest.approx(deep)
        (reason,) = waves_reasons(after)
        assert reason.against and told in reason.text()
        assert (deep > 40e-6) == (told != "Block on while the film lasts") and (deep > FULL_BUILD) == (times == 73)
    assert too_deep(like._replace(waves=9.9)) == 0.0


def test_filler_that_the_surfacer_to_come_cannot_level_is_not_shaped_yet():
    demo = repair.load(repair.demo_path())
    raw = (
        demo.changed("step", 4, "strokes", to=1)
        .changed("step", 5, "strokes", to=2)
        .changed("step", 6, "strokes", to=2)
    )
    told = against(repair.replay(raw)[6])
    assert "the filler is not shaped yet" in told and "P80 on the filler again, or filler in the lows" in told
    assert "not shaped" not in " ".join(against(entry) for entry in repair.replay(demo))
    hurried = repair.replay(repair.demo_path("impatient_repair"))
    assert "the filler is not shaped yet" in against(hurried[4])
    # Under its surfacer 110 µm would have to go from crests that bear 66 µm of it.
    assert "where it is thinnest: full coats of surfacer first" in against(hurried[9])
    assert recoat_or_go_on(hurried[9]).answer == "build again"


# --- water ---


def test_wet_paper_is_full_later_and_water_must_be_rinsed_off_and_gone_before_the_next_film():
    before = [CLEAN, DULL, CLEAN, SURFACER, WAIT]
    dry, wet = (played(*before, block("P600", 200, more=more), CLEAN, BASE)[5] for more in ("", 'water = "wet"'))
    assert wet.used.pieces < 0.5 * dry.used.pieces, "dust fills it a quarter as fast; it blunts as before"
    assert dry.used.mean_removed < wet.used.mean_removed < 1.6 * dry.used.mean_removed, "it stays sharp longer"
    assert wet.condition.scratch == pytest.approx(dry.condition.scratch)
    assert "let it dry for 30 min or more" in against(wet) and "sanded wet" not in against(dry)
    slurry = played(*before, block("P600", 60, more='water = "wet"'), 'do = "wait"\ntime = "2 h"', BASE)[5]
    assert "rinse it and wipe it dry before the base" in against(slurry)
    right = played(*before, block("P600", 60, more='water = "wet"'), CLEAN, 'do = "wait"\ntime = "40 min"', BASE)[5]
    assert "wet" not in against(right)
    assert "wet, with a drop of soap" in repair.job_sheet(
        played(*before, block("P600", 60, more='water = "wet"'), CLEAN, 'do = "wait"\ntime = "40 min"', BASE)
    )


def test_filler_and_bare_metal_are_never_sanded_wet():
    wet = f'water = "wet"\n{WHERE}'
    filler = played(CLEAN, FILLER, WAIT, block("P80", 30, more=wet), block("P180", 60, more=WHERE), CLEAN, SURFACER)
    assert "filler was sanded wet" in against(filler[3]) and "sanded wet" not in against(filler[4])
    metal = played(CLEAN, block("P80", 900, "40 N", more=wet), CLEAN, DULL, CLEAN, SURFACER)
    assert metal[1].condition.shows["bare metal"] > 1e-4 and "bare metal was sanded wet" in against(metal[1])


def test_guide_coat_that_only_a_pad_takes_off_keeps_the_block_going():
    """A pad follows the lows: what the guide coat showed is gone, and the lows are not."""
    recipe = repair.load(repair.demo_path())
    number = max(step.number for step in recipe.steps if isinstance(step, Block))
    assert isinstance(recipe.steps[number], HandSand), "in the demo a pad comes after the last block"
    after = repair.replay(recipe.changed("step", number, "strokes", to=3), until=number)[-1]
    told = [reason for reason in after.verdict.reasons if reason.words.startswith("guide coat is left")]
    assert [reason.against for reason in told] == [True] and after.condition.guide_coat > 0.5
