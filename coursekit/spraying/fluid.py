"""Paint through needle and tip: between Poiseuille and orifice, with the needle's gap in series.

Geometry alone gives the delivery within about a factor of two; a cup test of your own gives it within a few per cent.
"""

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np

from coursekit.belief import Belief, Observation, Print, quantiles, shipped
from coursekit.constants import ATMOSPHERE, GRAVITY
from coursekit.quantities import InputError, Real, Scalar, Values, in_range, public
from coursekit.sources import coefficient
from coursekit.spraying.air import mach_of, pressure_at_cap
from coursekit.uncertain import Z95, Band, Coefficient

LEAST_TURNS = 0.25
_THINNEST, _THICKEST = 15e-6, 150e-6  # m²/s by the cup: what a gun of this kind sprays
_READING = 0.06  # one standard deviation of a cup test as a share: 4 % for the cup, 4 % for hand and clock


@public(gives="needle_gap")
def needle_gap(
    turns: Real,
    tip_bore: Real,
    needle_half_angle: Real = coefficient("needle_half_angle"),
    thread_pitch: Real = coefficient("thread_pitch"),
) -> Real:
    """Opening between a needle drawn back and its tip: the side of a cut-off cone, never more than the bore.

    Gives (...) m².
    Holds for a sharp-edged tip. Source: needle-geometry.
    """
    sine, cosine = np.sin(needle_half_angle), np.cos(needle_half_angle)
    # Beyond its maximum the bare formula falls again; a gap does not.
    drawn_back = np.minimum(turns * thread_pitch, tip_bore / (2 * sine * cosine))
    gap = math.pi * drawn_back * sine * (tip_bore - drawn_back * sine * cosine)
    return np.minimum(gap, math.pi / 4 * tip_bore**2)


@public(gives="fluid_delivery")
def tip_flow(
    driving_pressure: Real,
    tip_bore: Real,
    kinematic_viscosity: Real,
    density: Real = 1000.0,
    needle_gap: Real | None = None,
    land_length: Real = coefficient("land_length"),
    entry_loss: Real = coefficient("entry_loss"),
) -> Real:
    """Liquid that a pressure drives through a tip: kinetic loss and wall friction together.

    kinematic_viscosity: of the liquid in the tip
    needle_gap: wide open unless given
    Gives (...) m³/s.
    Holds for laminar flow, Reynolds number below about 500: always so with paint. Source: nozzle-law.
    """
    bore_area = math.pi / 4 * tip_bore**2
    needle_loss = 0.0 if needle_gap is None else (bore_area / np.maximum(needle_gap, 1e-12)) ** 2 - 1
    inertia = 0.5 * density / bore_area**2 * (entry_loss + np.maximum(needle_loss, 0.0))
    friction = 128 * kinematic_viscosity * density * (land_length + 0.6 * tip_bore) / (math.pi * tip_bore**4)
    return 2 * driving_pressure / (friction + np.sqrt(friction**2 + 4 * inertia * driving_pressure))


@public(gives="fluid_delivery")
def fluid_delivery(
    turns: Real,
    tip_bore: Real,
    kinematic_viscosity: Real,
    cap_pressure: Real,
    density: Real = 1000.0,
    trigger: Real = 1.0,
    paint_head: Real = coefficient("paint_head"),
    suction_share: Real = coefficient("suction_share"),
    nozzle_viscosity: Real = coefficient("nozzle_viscosity"),
    needle_half_angle: Real = coefficient("needle_half_angle"),
    thread_pitch: Real = coefficient("thread_pitch"),
    land_length: Real = coefficient("land_length"),
    entry_loss: Real = coefficient("entry_loss"),
    delivery_scale: Real = coefficient("delivery_scale"),
) -> Real:
    """Paint that the gun delivers while the trigger is pulled.

    turns: fluid knob out from closed; 0.25 at least
    kinematic_viscosity: 15 to 150 mm²/s
    cap_pressure: of the air at the cap, not at the inlet
    delivery_scale: what the geometry leaves out; a cup test sets it
    Gives (...) m³/s; none when the trigger feeds no paint. Raises InputError for a wrong unit, RangeError out of
    those ranges or when the needle is open by less than a quarter turn, where friction in the gap rules.
    Holds for a gravity gun; before a cup test within a factor of about two. Source: nozzle-law, needle-geometry.
    """
    in_range(
        "kinematic_viscosity",
        kinematic_viscosity,
        _THINNEST,
        _THICKEST,
        "Reduce the paint, or take another kind of gun.",
    )
    in_range("turns", turns, LEAST_TURNS, 8, "Open the fluid knob: below a quarter turn nothing can be foretold.")
    opened = np.asarray(turns * trigger)
    feeding = opened > 0
    if np.any(feeding & (opened < LEAST_TURNS * (1 - 1e-9))):
        least = LEAST_TURNS / np.asarray(turns, dtype=float)
        in_range(
            "trigger",
            np.where(feeding, trigger + 0 * least, 1.0),
            float(np.max(least)),
            1,
            "Pull the trigger further: turns times pull must reach a quarter turn.",
        )
    gap = needle_gap.si(np.where(feeding, opened, LEAST_TURNS), tip_bore, needle_half_angle, thread_pitch)
    driving = density * GRAVITY * paint_head + suction_share * dynamic_pressure(cap_pressure)
    flow = tip_flow.si(
        driving, tip_bore, kinematic_viscosity * nozzle_viscosity, density, gap, land_length, entry_loss
    )
    return np.where(feeding, delivery_scale * flow, 0.0)[()]


def delivery_at_inlet(
    gun_inlet_pressure: Real,
    passage_ratio: Real = coefficient("passage_ratio"),
    *,
    paint_head: Real = coefficient("paint_head"),
    suction_share: Real = coefficient("suction_share"),
    nozzle_viscosity: Real = coefficient("nozzle_viscosity"),
    needle_half_angle: Real = coefficient("needle_half_angle"),
    thread_pitch: Real = coefficient("thread_pitch"),
    land_length: Real = coefficient("land_length"),
    entry_loss: Real = coefficient("entry_loss"),
    delivery_scale: Real = coefficient("delivery_scale"),
    **setting: Real,
) -> Real:
    """`fluid_delivery` (SI) by the air at the gun's inlet, which is what most learners read."""
    found: Real = fluid_delivery.si(
        cap_pressure=pressure_at_cap.si(gun_inlet_pressure, passage_ratio),
        paint_head=paint_head,
        suction_share=suction_share,
        nozzle_viscosity=nozzle_viscosity,
        needle_half_angle=needle_half_angle,
        thread_pitch=thread_pitch,
        land_length=land_length,
        entry_loss=entry_loss,
        delivery_scale=delivery_scale,
        **setting,
    )
    return found


def dynamic_pressure(cap_pressure: Real, atmospheric_pressure: Real = ATMOSPHERE) -> Real:
    """½ ρ U² of the air jet in Pa; in a choked hole it grows with the pressure before it."""
    mach = mach_of((cap_pressure + atmospheric_pressure) / atmospheric_pressure)
    leaving = (cap_pressure + atmospheric_pressure) / (1 + 0.2 * mach**2) ** 3.5
    return 0.7 * leaving * mach**2


class DeliveryFit(NamedTuple):
    """What cup tests at several turns say about the gun."""

    before: Band
    delivery: Band
    misfit: float
    agrees: bool
    words: str
    coefficients: dict[str, Coefficient]


@public(gives={"before": "fluid_delivery", "delivery": "fluid_delivery", "misfit": "misfit"})
def fit_delivery(
    test_turns: Values,
    test_deliveries: Values,
    tip_bore: Scalar,
    kinematic_viscosity: Scalar,
    cap_pressure: Scalar,
    density: Scalar = 1000.0,
    delivery_without_air: Scalar | None = None,
) -> DeliveryFit:
    """What your own cup tests, say at 1, 2 and 3 turns, say about the gun: the bands that agree with them.

    kinematic_viscosity: 15 to 150 mm²/s; of the paint of the test, by the cup
    cap_pressure: at the cap during the test
    delivery_without_air: air shut, at the most turns; tells the suction apart
    Gives a DeliveryFit: the band before and after at those turns; misfit in errors of reading (1 is as expected);
    whether it agrees, in words; and the gun's coefficients as they are believed then, none when the tests contradict.
    Raises InputError for a wrong unit or unequal lists, RangeError out of those ranges.
    Holds for that tip, paint and air: with others, test again. Source: nozzle-law, cup-test.
    """
    turns, measured = (np.atleast_1d(np.asarray(v, dtype=float)) for v in (test_turns, test_deliveries))
    if turns.shape != measured.shape or turns.ndim != 1 or not 1 <= len(turns) <= 50:
        raise InputError(
            "test_deliveries",
            "needs one delivery for each entry of test_turns.",
            "Give two lists of equal length.",
            kind="list",
        )
    value: Any
    for name, value in (
        ("tip_bore", tip_bore),
        ("kinematic_viscosity", kinematic_viscosity),
        ("cap_pressure", cap_pressure),
        ("density", density),
        ("delivery_without_air", delivery_without_air),
    ):
        if np.ndim(value):
            raise InputError(name, "is a list; all tests are made with one.", "Give one value.", kind="list")
    setting = {
        "tip_bore": tip_bore,
        "kinematic_viscosity": kinematic_viscosity,
        "cap_pressure": cap_pressure,
        "density": density,
    }
    fit = fit_of(turns, measured, setting, shipped())
    observed = fit.observed
    if delivery_without_air is not None:
        still = {**setting, "cap_pressure": 0.0, "turns": float(turns.max())}
        observed += (cup_test(still, float(delivery_without_air)),)
    before = _deliveries(fit.observed, shipped())
    if fit.contradiction:
        return DeliveryFit(before, before, fit.misfit, False, fit.contradiction, {})
    after = shipped().learn(*observed)
    words = "The tests agree with each other and with a gun of this tip; its band is now that of your readings."
    gun = {key: after.coefficient(key) for key in sorted({key for one in observed for key in one.keys})}
    return DeliveryFit(before, _deliveries(fit.observed, after), fit.misfit, True, words, gun)


class CupFit(NamedTuple):
    """Cup tests as what was observed, their misfit to the gun that fits best, and what is wrong with them, if so."""

    observed: tuple[Observation, ...]
    misfit: float
    contradiction: str


def fit_of(test_turns: Any, test_deliveries: Any, setting: Mapping[str, float], belief: Belief) -> CupFit:
    """Whether cup tests (SI) at those turns fit any gun of the belief; the air is that at the cap or at the inlet."""
    observed = tuple(
        cup_test({**setting, "turns": float(turn)}, float(delivery))
        for turn, delivery in zip(test_turns, test_deliveries, strict=True)
    )
    columns = {key: belief.column(key) for one in observed for key in one.keys}
    model = np.stack([one.answer(columns, belief.draws) for one in observed], axis=1)
    measured = np.asarray(test_deliveries, dtype=float)
    errors = (np.log(model) - np.log(measured)) / _READING
    misfit = float(np.sqrt((errors**2).mean(axis=1).min()))
    wrong = _contradiction(np.asarray(test_turns), measured, quantiles(model, belief.weights)) if misfit > 2 else ""
    return CupFit(observed, misfit, wrong)


def cup_test(setting: Mapping[str, float], delivery: float) -> Observation:
    """What a cup caught in a minute at a setting (SI), the knob and the air at the cap or the inlet with it."""
    turns, still = setting["turns"], setting.get("cap_pressure") == 0
    key = f"cup test at {turns:g} turn{'s' * (turns != 1)}{', no air' * still}"
    off = math.exp(Z95 * _READING)
    read = Print(delivery, delivery / off, delivery * off, "cup-test", "measured by you")
    call = "spraying.fluid_delivery" if "cap_pressure" in setting else "spraying.fluid.delivery_at_inlet"
    return Observation(key, "your gun delivers", call, tuple(sorted(setting.items())), "", (read,))


def _deliveries(observed: tuple[Observation, ...], belief: Belief) -> Band:
    columns = {key: belief.column(key) for one in observed for key in one.keys}
    model = np.stack([one.answer(columns, belief.draws) for one in observed], axis=1)
    return quantiles(model, belief.weights)


def _contradiction(turns: np.ndarray, measured: np.ndarray, before: Band) -> str:
    """Which of the usual slips the readings look like."""
    order = np.argsort(turns)
    if np.any(np.diff(measured[order]) < -0.1 * measured[order][:-1]):
        return (
            "The tests contradict: more turns gave less paint. Was the paint the same, the cup full, the air on "
            "at each? Repeat them in turn."
        )
    if np.all(measured > before.high):
        return (
            "More than a tip of this bore gives. Check the bore stamped on the tip, the clock, millilitres "
            "against fluid ounces, and the cup's seconds."
        )
    if np.all(measured < before.low):
        return (
            "Less than a tip of this bore gives. Check the strainer, the vent of the lid, the trigger's pull, "
            "the bore stamped on the tip and the cup's seconds."
        )
    return (
        "The tests do not fit one gun: their rise with the turns is unlike that of any needle. Repeat the one "
        "that stands out."
    )
