"""Spraying on the computed panel: the closed form, what it is cut off by, and where every drop goes."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coursekit import panel, spraying
from coursekit.panel.spraying import Passes, deposit
from coursekit.quantities import InputError
from coursekit.sources import coefficient
from tests.stamping import stamped

COAT = {"material": "surfacer", "volume_solids": 0.45, "flow": 4.2e-6, "speed": 0.35, "pitch": 0.1}


def test_closed_form_against_stamping():
    passes = Passes(np.array([0.05, 0.12, 0.2]), np.full(3, 0.05), np.full(3, 0.35), np.array([1e-6, 2e-6, 1e-6]))
    across, along = (np.arange(50) + 0.5) * 5e-3, (np.arange(80) + 0.5) * 5e-3
    film = deposit(passes, across, along, 5e-3, panel.Fan(0.04, 0.018))
    plain = stamped(passes, across, along, 0.04, 0.018, stamps=200)
    assert np.abs(film - plain).max() < 0.01 * plain.max()


@pytest.mark.parametrize(("place", "share"), [(0, 0.5), (-1, 0.159), (1, 0.841), (-2, 0.023), (2, 0.977)])
def test_trigger_point(place, share):
    # Source: integral of a moving Gaussian spot (derived): half at the trigger point, 0.159 and 0.841 one σ off.
    sigma, cell = 0.018, 1e-4
    passes = Passes(np.zeros(1), np.zeros(1), np.array([1.0]), np.array([1e-6]))
    x = np.array([place * sigma])
    film = deposit(passes, np.zeros(1), x, cell, panel.Fan(0.06, sigma))
    full = deposit(passes, np.zeros(1), np.array([0.5]), cell, panel.Fan(0.06, sigma))
    assert (film / full).item() == pytest.approx(share, abs=6e-4)


def test_a_stroke_of_two_sigma_reaches_two_thirds():
    # Source: the same integral (derived): 0.683 in its middle.
    sigma = 0.018
    passes = Passes(np.zeros(1), np.zeros(1), np.array([2 * sigma]), np.array([1e-6]))
    film = deposit(passes, np.zeros(1), np.array([sigma]), 1e-4, panel.Fan(0.06, sigma))
    assert film.item() == pytest.approx(0.683 * 1e-6 / (math.sqrt(2 * math.pi) * 0.06), rel=1e-3)


def test_middle_of_the_panel_is_the_trade_s_coat():
    shape = panel.test_card(1.2, 0.8)
    after, _ = panel.spray(panel.sheet_metal(shape), **COAT, captured=0.7)
    wanted = spraying.coat_film.si(COAT["flow"], 0.45, 0.7, COAT["speed"], COAT["pitch"])
    assert after.film("surfacer")[80, 120] == pytest.approx(wanted, rel=0.01)


@pytest.mark.parametrize("pitch_over_sigma", [2.0, 2.355, 3.0])
def test_stripes_of_bell_shaped_passes(pitch_over_sigma):
    # Source: the trade's exact evenness of endless passes.
    sigma = 0.04
    pitch = pitch_over_sigma * sigma
    shape = panel.test_card(0.3, 16 * pitch, 2e-3)
    after, _ = panel.spray(panel.sheet_metal(shape), **COAT | {"pitch": pitch}, fan=panel.Fan(sigma))
    column = after.film("surfacer")[:, after.dents.shape[1] // 2]
    y = shape.y
    whole = column[(y > 4 * pitch) & (y <= 12 * pitch)]
    assert whole.std() / whole.mean() == pytest.approx(spraying.evenness.si("gaussian", pitch, 4 * sigma), rel=0.02)


def test_stripes_of_a_flat_topped_fan():
    # Source: a parabola at 50 % overlap has a deviation of 1 / (4 √5) of the mean (derived; exact).
    width = 0.25

    def cumulative(d):
        u = np.clip(d / (width / 2), -1, 1)
        return 0.5 + 0.75 * u - 0.25 * u**3

    shape = panel.test_card(0.3, 1.5, 2.5e-3)
    after, _ = panel.spray(panel.sheet_metal(shape), **COAT | {"pitch": width / 2}, fan=panel.Fan(profile=cumulative))
    column = after.film("surfacer")[:, 60]
    whole = column[(shape.y > 0.375) & (shape.y <= 1.125)]
    assert whole.std() / whole.mean() == pytest.approx(1 / (4 * math.sqrt(5)), rel=0.01)


def balanced(whole, parts):
    assert sum(parts) == pytest.approx(whole, rel=1e-12)
    assert all(volume >= -1e-12 * whole for volume in parts), parts


@settings(max_examples=60, deadline=None)
@given(
    shape=st.sampled_from(list(panel.SHAPES)),
    along=st.sampled_from(["x", "y", "cross"]),
    solids=st.floats(0.05, 1),
    captured=st.floats(0, 1),
    flashed=st.floats(0, 1),
    pitch=st.floats(0.03, 0.3),
    sigma=st.floats(0.01, 0.1),
    lead=st.floats(-0.05, 0.2),
    cover=st.floats(0, 1),
    hand=st.floats(0, 0.3),
    seed=st.integers(0, 99),
    masked=st.booleans(),
    outside=st.booleans(),
)
def test_every_drop_is_counted(
    shape, along, solids, captured, flashed, pitch, sigma, lead, cover, hand, seed, masked, outside
):
    before = panel.sheet_metal(panel.SHAPES[shape](cell=10e-3))
    if masked:
        before, _ = panel.mask(before, area=(0.05, 0.15, 0.05, 0.12), outside=outside)
    after, used = panel.spray(
        before,
        material="clear",
        volume_solids=solids,
        flow=3e-6,
        pitch=pitch,
        fan=panel.Fan(sigma),
        captured=captured,
        flashed=flashed,
        along=along,
        lead=lead,
        cover=cover,
        hand=hand,
        seed=seed,
    )
    balanced(used.solids.laid, used.solids[1:])
    balanced(used.solvent.sprayed, used.solvent[2:])
    assert used.solids.panel == pytest.approx(after.volume("clear"), rel=1e-12)
    assert used.solvent.panel == pytest.approx(after.solvent_volume(), rel=1e-12, abs=1e-20)
    assert (after.film("clear")[(before.mask > 0) | ~before.shape.inside] == 0).all()
    assert used.solvent.sprayed == pytest.approx(used.solids.laid * (1 - solids) / solids)
    later, waited = panel.wait(after, time=900.0, solvent_half_time=300.0)
    assert waited.solvent.air + later.solvent_volume() == pytest.approx(after.solvent_volume(), rel=1e-12)
    assert later.volume("clear") == after.volume("clear")


def test_film_outside_reaches_an_uncovered_neighbour():
    bare = panel.sheet_metal(panel.door())
    _, open_car = panel.spray(bare, **COAT)
    _, covered = panel.spray(bare, **COAT, cover=1.0)
    assert open_car.solids.past_edge > 0.05 * open_car.solids.laid
    assert covered.solids.past_edge < 1e-3 * open_car.solids.past_edge
    assert covered.solids.masks == pytest.approx(open_car.solids.past_edge - covered.solids.past_edge)


@pytest.mark.parametrize(
    ("edge", "holds"), [("raised", lambda ratio: ratio >= 30), ("flat", lambda ratio: ratio <= 5)]
)
def test_mask_edge(edge, holds):
    # Common practice, no source: raised edge, a ramp at least 30 × as wide as the film is thick; flat, at most 5 ×.
    masked, _ = panel.mask(panel.sheet_metal(panel.door()), area=(0.3, 0.6, 0.2, 0.6), edge=edge)
    after, _ = panel.spray(masked, **COAT)
    edges = [section for section in after.sections if section.line.kind == "mask edge"]
    assert len(edges) == 4
    for section in edges:
        film = section.thickness[-1]
        full = film[:, -1]
        widths = panel.ramp_width(section)
        assert all(holds(ratio) for ratio in widths / full)
        assert film[:, 0] == pytest.approx(0, abs=1e-9)


def test_two_coats_of_surfacer():
    # Common practice, no source: two coats give 75–150 µm before sanding; the gun's feed of a 1.6 to 1.8 mm tip.
    door = panel.sheet_metal(panel.door(), coats=panel.FACTORY_COATS)
    for offset in (0.0, 0.5):
        door, _ = panel.spray(door, **COAT, offset=offset)
    middle = door.film("surfacer")[40:120, 60:180]
    assert 75e-6 <= middle.mean() <= 150e-6


def test_second_coat_half_a_pass_off_evens_out_stripes():
    # Common practice, no source.
    door = panel.sheet_metal(panel.door())
    wide = COAT | {"pitch": 0.19}
    spread = {}
    for offset in (0.0, 0.5):
        twice, _ = panel.spray(panel.spray(door, **wide)[0], **wide, offset=offset)
        column = twice.film("surfacer")[40:120, 120]
        spread[offset] = column.std() / column.mean()
    assert spread[0.5] < 0.2 * spread[0.0]


def test_scratches_shrink_through_a_coat_but_show():
    before = panel.sheet_metal(panel.test_card())
    before = panel.state.changed(before, scratch=np.full(before.dents.shape, 1.14e-6))
    base, _ = panel.spray(before, material="base", volume_solids=0.2, flow=3e-6)
    clear, _ = panel.spray(base, material="clear", volume_solids=0.5, flow=5e-6)
    # Source: SAE 2003-01-2766 (attenuation by shrinkage), 1.14 µm through solids of 0.2 and 0.5: 0.456 µm (derived).
    assert clear.scratch[20, 30] == pytest.approx(0.456e-6, rel=1e-3)


def test_hand_varies_with_its_seed_alone():
    door = panel.sheet_metal(panel.door())
    films = [panel.spray(door, **COAT, hand=0.1, seed=seed)[0].film("surfacer") for seed in (1, 1, 2)]
    assert (films[0] == films[1]).all()
    assert not np.allclose(films[0], films[2])


@pytest.mark.parametrize(
    "wrong",
    [
        {"material": "gold"},
        {"volume_solids": 0},
        {"volume_solids": math.nan},
        {"flow": -1.0},
        {"pitch": 0},
        {"along": "up"},
        {"captured": 2},
        {"pitch": 2e-3, "area": (0, 5, 0, 500)},
        {"speed": "fast"},
        {"texture": (1e-6,)},
        {"fan": panel.Fan(None)},
        {"hand": math.inf},
    ],
)
def test_what_cannot_be_sprayed(wrong):
    with pytest.raises(InputError):
        panel.spray(panel.sheet_metal(panel.test_card()), **COAT | wrong)


@pytest.mark.parametrize("seed", range(5))
def test_a_normal_coat_of_clear_hangs_and_a_doubled_one_runs(seed):
    """50 µm dry on an upright door by a steady hand, its flow and thickening those of a refinish clear (assumed)."""
    door = panel.sheet_metal(panel.door(1.2, 0.8))
    clear = COAT | {"material": "clear", "volume_solids": 0.45, "pitch": 0.125, "flow": 50e-6 * 0.125 / 0.75}

    fan = round(0.25 / door.cell)  # beside it: within a fan's width

    def ahead(speed):
        done, _ = panel.spray(door, **clear | {"speed": speed}, captured=0.75, flashed=0.0, hand=0.02, seed=seed)
        wet = done.layers[-1].wet
        rows, columns = wet.shape
        inner = wet[rows // 8 : -rows // 8, columns // 8 : -columns // 8]
        assert inner.mean() == pytest.approx(111e-6 * 0.45 / speed, rel=0.03)
        row, column = np.unravel_index(np.argmax(inner), inner.shape)
        beside = inner[max(row - fan, 0) : row + fan + 1, column].mean()
        return float(spraying.neighbour_sag.si(inner.max(), beside, 0.12, 1000.0, 120.0))

    seen = coefficient("seen_sag")
    assert 0.5e-3 < ahead(0.45) < seen.low
    assert ahead(0.225) > seen.high


@pytest.mark.parametrize(("pitch", "share"), [(0.125, 0.738), (0.1125, 0.813)])
def test_a_coat_wastes_alike_on_the_panel_and_in_the_plan(pitch, share):
    """1.2 by 0.9 m: nine passes with a step of 125 mm reach 50 mm past both edges; the step that fits does not."""
    plan = spraying.coat_plan.si(1.2, 0.9, 0.125, 0.45)
    assert (plan.passes, plan.step) == (9, pytest.approx(0.1125))
    card = panel.sheet_metal(panel.test_card(1.2, 0.9))
    coat = COAT | {"speed": 0.45, "pitch": pitch}
    _, used = panel.spray(card, **coat, captured=1.0, lead=0.05)
    aimed = spraying.aimed_share.si(1.2, 0.9, pitch, 0.25, 0.072, 0.05)
    assert used.solids.landed == pytest.approx(aimed, abs=1e-3)
    assert aimed == pytest.approx(share, abs=5e-4)
    # Nine passes of 1.3 m at 0.45 m/s and eight turns of a second.
    assert used.time == pytest.approx(9 * 1.3 / 0.45 + 8 * 1.0) == plan.time


@pytest.mark.parametrize("outside", [False, True])
def test_film_beside_a_tape_follows_the_tape_within_a_cell(outside):
    before = panel.sheet_metal(panel.test_card(), contamination=0.0)
    films = []
    for end in np.linspace(0.15, 0.17, 9):  # on cells of 5 mm
        masked, used = panel.mask(before, area=(0.0, float(end), 0.0, 0.2), outside=outside)
        coat, _ = panel.spray(masked, **COAT)
        films.append(coat.volume(COAT["material"]))
        open_width = end if outside else 0.3 - end
        assert used.area == pytest.approx((0.3 - open_width) * 0.2, rel=1e-9)
    steps = np.diff(films)
    assert np.sign(steps[0]) == (1 if outside else -1)
    assert steps == pytest.approx(np.full(8, steps.mean()), rel=0.1)
