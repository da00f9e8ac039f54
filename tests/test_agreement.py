"""Two calls that answer the same question agree. A row a pair: add one whenever a number can be asked for twice."""

import functools
import math
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
import pytest

from coursekit import belief, colour, drying, film, measured, panel, repair, spraying
from coursekit.lesson.content.benches import where_time_goes
from coursekit.lesson.repair.demo_recipes import demo
from coursekit.repair import forecast
from coursekit.repair.outcome import outcome_of
from coursekit.repair.steps import Spray, Wait
from coursekit.sources import coefficient

USUAL = {
    "turns": 2.0,
    "gun_inlet_pressure": 2e5,
    "fan_opening": 1.0,
    "gun_distance": 0.175,
    "gun_speed": 0.45,
    "overlap": 0.5,
    "trigger": 1.0,
    "tip_bore": 1.3e-3,
    "kinematic_viscosity": 30e-6,
    "density": 1000.0,
    "volume_solids": 0.45,
    "panel_width": 1.0,
    "panel_height": 0.7,
}
CUPS = {
    "one_turn": "28 mL",
    "two_turns": "38 mL",
    "three_turns": "46 mL",
    "time": "15 s",
    "tip_bore": "1.3 mm",
    "kinematic_viscosity": "30 mm²/s",
    "density": "1.3 kg/L",
    "gun_inlet_pressure": "2 bar",
}


class Pair(NamedTuple):
    question: str
    one: Callable[..., Any]
    other: Callable[..., Any]
    off: float = 1e-9  # relative


def setting(**change: Any) -> Any:
    return spraying.spray_setting.si(**{**USUAL, **change})


def transfer_by_the_gun(_: Any) -> Any:
    return belief.band_si(spraying.spray_setting, **USUAL).account.transfer_efficiency


def transfer_by_the_coefficient(_: Any) -> Any:
    return belief.band_si(lambda share: share, coefficient("transfer_efficiency"))


WASTE = {"panel_width": 1.2, "panel_height": 0.9, "pitch": 0.125, "width": 0.25, "fan_depth": 0.072, "lead": 0.05}


def landed_on_the_panel(_: Any) -> Any:
    """Of a coat that loses nothing in the air, on the computed panel."""
    sheet = panel.sheet_metal(panel.test_card(WASTE["panel_width"], WASTE["panel_height"]))
    used = panel.spray(
        sheet,
        material="surfacer",
        volume_solids=0.45,
        flow=2.5e-6,
        pitch=WASTE["pitch"],
        fan=panel.Fan.seen(WASTE["width"], WASTE["fan_depth"]),
        lead=WASTE["lead"],
        captured=1.0,
    )[1]
    return used.solids.landed


def garage(folder: Any) -> measured.Measured:
    mine = measured.load(folder / "garage.toml")
    if not mine.entries:
        mine.enter("turns", **CUPS)
    return mine


def delivered(call: Any, folder: Any, **si: Any) -> Any:
    return belief.band_si(call, **si, belief=garage(folder).belief)


PAIRS = [
    Pair("what share lands at the usual setting?", transfer_by_the_gun, transfer_by_the_coefficient),
    Pair(
        "what is delivered at 2 turns, 2 bar?",
        lambda _: setting().fluid_delivery,
        lambda _: spraying.fluid_delivery.si(2.0, 1.3e-3, 30e-6, spraying.pressure_at_cap.si(2e5), 1000.0),
    ),
    Pair(
        "how coarse are the drops?",
        lambda _: setting().median_drop,
        lambda _: spraying.drop_size.si(setting().fluid_delivery, setting().cap_pressure, 30e-6).mass_median,
    ),
    Pair("how wide is the fan?", lambda _: setting().width, lambda _: spraying.fan_width.si(1.0, 0.175)),
    Pair(
        "what share is aimed at the panel?",
        lambda _: setting().aimed,
        lambda _: spraying.aimed_share.si(
            1.0,
            0.7,
            setting().pitch,
            setting().width,
            spraying.fan_depth.si(0.175),
            spraying.least_lead.si(spraying.fan_depth.si(0.175)),
        ),
    ),
    Pair(
        "what share of a coat is over the panel, played and planned?",
        landed_on_the_panel,
        lambda _: spraying.aimed_share.si(**WASTE),
        2e-3,
    ),
    Pair(
        "how long does a coat take?",
        lambda _: setting().time,
        lambda _: (
            spraying.coat_plan.si(
                1.0, 0.7, setting().width * 0.5, 0.45, spraying.least_lead.si(spraying.fan_depth.si(0.175))
            ).time
        ),
    ),
    Pair(
        "what lands, as an account and as shares?",
        lambda _: setting().account.transfer_efficiency,
        lambda _: setting().aimed * setting().captured,
    ),
    Pair(
        "what does a measured gun deliver, by the setting and by the knob?",
        lambda folder: delivered(spraying.spray_setting, folder, **{**USUAL, "density": 1300.0}).fluid_delivery,
        lambda folder: delivered(
            spraying.fluid.delivery_at_inlet,
            folder,
            turns=2.0,
            gun_inlet_pressure=2e5,
            tip_bore=1.3e-3,
            kinematic_viscosity=30e-6,
            density=1300.0,
        ),
    ),
    Pair(
        "which band has a measured number, asked for and drawn?",
        lambda folder: ends(garage(folder).coefficient("suction_share")),
        lambda folder: tuple(belief.band_si(lambda share: share, garage(folder).coefficient("suction_share"))),
    ),
    Pair(
        "how much air does the gun take?",
        lambda _: setting().air_use,
        lambda _: spraying.gun_air_use.si(spraying.pressure_at_cap.si(2e5)),
    ),
    Pair(
        "which band has what lands with a measured gun, by the setting and by the coefficient?",
        lambda folder: delivered(spraying.spray_setting, folder, **USUAL).account.transfer_efficiency,
        lambda folder: ends(garage(folder).coefficient("transfer_efficiency")),
    ),
    # The mean film over the panel is a little below that of its middle, with a lead that just covers it.
    Pair(
        "how much paint does a coat take, by the gun's time and by the film?",
        lambda _: setting().fluid_delivery * setting().passes * setting().seconds_per_pass,
        lambda _: film.paint_needed.si(0.7, setting().dry_film, 0.45, setting().account.transfer_efficiency),
        0.02,
    ),
    Pair(
        "how long does the whole repair take, by the bench's hands and the plan's waits, and by the form?",
        lambda _: sum(where_time_goes.worked().values()) + waited(),
        lambda _: played().time,
    ),
    Pair(
        "how long does the whole repair take, on the sheet and among its figures?",
        lambda _: played().time,
        lambda _: outcome_of(played()).time,
    ),
    Pair(
        "which film hides a card, by the colour and by the scattering that the card tells?",
        lambda _: colour.film_to_hide.si([60.0, 0.0, 0.0], 0.98, scattering=8e4),
        lambda _: 20e-6 * colour.scattering_from_card.si([60.0, 0.0, 0.0], 20e-6, 0.98) / 8e4,
    ),
    Pair(
        "how long does an hour of the sheet take in a cold garage, by the plan and by the band?",
        lambda _: forecast.time_needed(cold(), 3600.0),
        lambda _: belief.band_si(drying.time_at, 3600.0, 293.15, 285.15),
        1e-6,  # a quantile between two draws, before or after the exponential
    ),
    Pair(
        "what do cup tests say, fitted and entered?",
        lambda folder: fitted(folder),
        lambda folder: entered(folder),
        0.03,
    ),
]


@functools.lru_cache(maxsize=1)
def played() -> Any:
    return repair.replay(demo())


def cold() -> Any:
    text = repair.demo_path().read_text(encoding="utf-8")
    return repair.loads(text.replace('temperature = "20 °C"', 'temperature = "12 °C"', 1))


def waited() -> float:
    """All that the recipe waits: its own steps, and between the coats of each spraying."""
    steps = demo().steps
    between = sum((step.coats - 1) * step.flash for step in steps if isinstance(step, Spray))
    return float(between + sum(entry.used.time for entry in played() if isinstance(entry.step, Wait)))


def ends(number: Any) -> tuple[float, float, float]:
    return number.low, float(number), number.high


def fitted(_: Any) -> Any:
    cap = float(spraying.pressure_at_cap.si(2e5))
    cups = [28e-6 / 15, 38e-6 / 15, 46e-6 / 15]
    found = spraying.fit_delivery.si([1.0, 2.0, 3.0], cups, 1.3e-3, 30e-6, cap, 1300.0)
    return np.array(found.delivery)[:, 1]


def entered(folder: Any) -> Any:
    return np.array(
        delivered(
            spraying.fluid.delivery_at_inlet,
            folder,
            turns=2.0,
            gun_inlet_pressure=2e5,
            tip_bore=1.3e-3,
            kinematic_viscosity=30e-6,
            density=1300.0,
        )
    )


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: pair.question)
def test_one_question_has_one_answer(pair, tmp_path):
    assert np.array(pair.one(tmp_path)) == pytest.approx(np.array(pair.other(tmp_path)), rel=pair.off)


def test_a_measured_delivery_lies_inside_its_own_band(tmp_path):
    low, middle, high = delivered(spraying.spray_setting, tmp_path, **{**USUAL, "density": 1300.0}).fluid_delivery
    assert low < 38e-6 / 15 < high and math.isclose(middle, 38e-6 / 15, rel_tol=0.06)
