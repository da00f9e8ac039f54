"""One setting of the gun, all the way through: air, paint, drops, transfer, film, texture, time and loss."""

import math
from typing import NamedTuple

import numpy as np

from coursekit.constants import ROOM_TEMPERATURE
from coursekit.quantities import InputError, Real, Value, in_range, public
from coursekit.sources import coefficient
from coursekit.special import erf
from coursekit.spraying.air import cap_jet, inlet_for, pressure_at_cap
from coursekit.spraying.drops import SLOWEST, drop_size
from coursekit.spraying.fluid import fluid_delivery
from coursekit.spraying.overspray import BUDGET_GIVES, LiquidAccount, PaintBudget, account
from coursekit.spraying.pattern import evenness, fan_depth, fan_width
from coursekit.spraying.runs import driest_drop, drop_loss, drying_constant
from coursekit.spraying.stroke import aimed_share, coat_film, coat_plan, least_lead
from coursekit.spraying.texture import laid_texture
from coursekit.spraying.transfer import Captured, capture, landed_below, plume_speed, spray_cut


class SprayResult(NamedTuple):
    """What one setting does in one coat of one panel."""

    cap_pressure: Value
    air_use: Value
    fluid_delivery: Value
    median_drop: Value
    air_liquid_ratio: Value
    width: Value
    pitch: Value
    plume_speed: Value
    aimed: Value
    captured: Value
    dry_film: Value
    wet_film: Value
    evenness: Value
    texture: Value
    dry_spray: Value
    passes: Value
    seconds_per_pass: Value
    time: Value
    mist_per_landed: Value
    past_edge_per_landed: Value
    account: PaintBudget


@public(
    gives={
        "cap_pressure": "cap_pressure",
        "air_use": "air_use",
        "fluid_delivery": "fluid_delivery",
        "median_drop": "mean_diameter",
        "air_liquid_ratio": "air_liquid_ratio",
        "width": "width",
        "pitch": "pitch",
        "plume_speed": "plume_speed",
        "aimed": "solids_share",
        "captured": "solids_share",
        "dry_film": "dry_film",
        "wet_film": "wet_film",
        "evenness": "evenness",
        "texture": "texture",
        "dry_spray": "dry_spray",
        "passes": "passes",
        "seconds_per_pass": "pass_time",
        "time": "coat_time",
        "mist_per_landed": "film_ratio",
        "past_edge_per_landed": "film_ratio",
        "account": BUDGET_GIVES,
    },
    first=(
        "dry_film",
        "wet_film",
        "passes",
        "time",
        "account.transfer_efficiency",
        "mist_per_landed",
        "past_edge_per_landed",
        "texture",
        "dry_spray",
        "air_use",
    ),
)
def spray_setting(
    turns: Real,
    gun_inlet_pressure: Real,
    fan_opening: Real,
    gun_distance: Real,
    gun_speed: Real,
    overlap: Real,
    trigger: Real,
    tip_bore: Real,
    kinematic_viscosity: Real,
    density: Real,
    volume_solids: Real,
    panel_width: Real,
    panel_height: Real,
    profile: str = "gaussian",
    shape: Real | None = None,
    passage_ratio: Real = coefficient("passage_ratio"),
    cap_area: Real = coefficient("cap_area"),
    paint_head: Real = coefficient("paint_head"),
    suction_share: Real = coefficient("suction_share"),
    nozzle_viscosity: Real = coefficient("nozzle_viscosity"),
    delivery_scale: Real = coefficient("delivery_scale"),
    needle_half_angle: Real = coefficient("needle_half_angle"),
    thread_pitch: Real = coefficient("thread_pitch"),
    land_length: Real = coefficient("land_length"),
    entry_loss: Real = coefficient("entry_loss"),
    surface_tension: Real = coefficient("surface_tension"),
    drop_calibration: Real = coefficient("drop_calibration"),
    spread_exponent: Real = coefficient("spread_exponent"),
    open_fan: Real = coefficient("open_fan"),
    closed_fan: Real = coefficient("closed_fan"),
    spot_depth: Real = coefficient("spot_depth"),
    cut_factor: Real = coefficient("cut_factor"),
    cut_sharpness: Real = coefficient("cut_sharpness"),
    evaporation_constant: Real = coefficient("evaporation_constant"),
    texture_factor: Real = coefficient("texture_factor"),
    masked_share: Real = coefficient("masked_share"),
    volatile_density: Real = coefficient("volatile_density"),
    dry_film_density: Real = coefficient("dry_film_density"),
    drop_pressure_power: Real = coefficient("drop_pressure_power"),
    distance_power: Real = coefficient("distance_power"),
    turbulent_floor: Real = coefficient("turbulent_floor"),
    capture_ceiling: Real = coefficient("capture_ceiling"),
    air_temperature: Real = ROOM_TEMPERATURE,
    volatility: Real = 1.0,
) -> SprayResult:
    """One coat with one setting of the gun: film, evenness, texture, time, and where the paint went.

    turns: 0.25 to 8
    overlap: of the fan's width, at least: the step fits the panel
    kinematic_viscosity: 15 to 150 mm²/s
    volume_solids: 1 % to 99 %; of the paint as sprayed
    profile: section of the fan, for the evenness
    shape: of the profile "beta" only
    delivery_scale: what the geometry leaves out; a cup test sets it
    Gives (...) a SprayResult. The film is that in the middle of the panel; transfer and losses are those of the
    whole coat, edges and trigger overlap counted. `mist_per_landed` and `past_edge_per_landed` are volumes of
    solids lost for each that landed.
    Holds for a flat panel square to the gun in still air; before measuring your own gun to a factor of two.
    No measured transfer over distance was found: how it falls is a wide band about a rule of thumb.
    Source: nozzle-law, kim-marshall, drop-transport, jet-momentum, impactor-notes, moving-bell, derived-here.
    """
    _breaks_up(gun_inlet_pressure, passage_ratio)
    cap = pressure_at_cap.si(gun_inlet_pressure, passage_ratio)
    jet = cap_jet.si(cap, ROOM_TEMPERATURE)
    flow = fluid_delivery.si(
        turns,
        tip_bore,
        kinematic_viscosity,
        cap,
        density,
        trigger,
        paint_head,
        suction_share,
        nozzle_viscosity,
        needle_half_angle,
        thread_pitch,
        land_length,
        entry_loss,
        delivery_scale,
    )
    if np.any(np.asarray(flow) <= 0):
        raise InputError("trigger", "feeds air but no paint.", "Pull it further.", kind="state")
    drops = drop_size.si(
        flow,
        cap,
        kinematic_viscosity,
        density,
        surface_tension,
        nozzle_viscosity,
        cap_area,
        drop_calibration,
        spread_exponent,
        drop_pressure_power=drop_pressure_power,
    )
    width = fan_width.si(fan_opening, gun_distance, open_fan, closed_fan)
    depth = fan_depth.si(gun_distance, spot_depth)
    lead = least_lead.si(depth)
    plan = coat_plan.si(panel_width, panel_height, width * (1 - np.asarray(overlap)), gun_speed, lead)
    pitch = plan.step

    air_flow = jet.mass_flow * cap_area
    plume = plume_speed.si(air_flow, jet.speed, width, depth)
    landing = (spread_exponent, cut_sharpness, turbulent_floor, capture_ceiling)
    cut = spray_cut.si(gun_distance, density, cut_factor, distance_power)
    caught = capture.si(drops.mass_median, cut, volume_solids, *landing)
    aimed = aimed_share.si(panel_width, panel_height, pitch, width, depth, lead)
    efficiency = aimed * caught.share

    # The plume slows in proportion to the distance, so the flight takes half the time its last speed would.
    flight = gun_distance / (2 * plume)
    evaporation = drying_constant.si(air_temperature, volatility, evaporation_constant)
    landed_loss, missed_loss = _lost_in_flight(flight, volume_solids, evaporation, caught, efficiency)
    driest = driest_drop.si(flight, volume_solids, evaporation_constant=evaporation)

    film = coat_film.si(flow, volume_solids, caught.share, gun_speed, pitch)
    film = film * _of_endless(plan.passes * pitch / 2, np.asarray(panel_width) / 2 + lead, width, depth)
    wet = film * (1 + (1 / np.asarray(volume_solids) - 1) * (1 - landed_loss))
    sprayed = flow * plan.passes * plan.seconds_per_pass
    nothing = 0 * sprayed
    budget = account(
        LiquidAccount(sprayed, sprayed, nothing, nothing, nothing, nothing),
        volume_solids,
        efficiency,
        aimed * (1 - caught.share) / (1 - efficiency),
        masked_share,
        caught.airborne,
        landed_loss,
        missed_loss,
        volatile_density,
        dry_film_density,
        None,
    )
    return SprayResult(
        cap_pressure=cap,
        air_use=jet.air_use * cap_area,
        fluid_delivery=flow,
        median_drop=drops.mass_median,
        air_liquid_ratio=drops.air_liquid_ratio,
        width=width,
        pitch=pitch,
        plume_speed=plume,
        aimed=aimed,
        captured=caught.share,
        dry_film=film,
        wet_film=wet,
        evenness=evenness.si(profile, pitch, width, shape),
        texture=laid_texture.si(film, drops.mass_median, volume_solids, 1e-3, spread_exponent, texture_factor),
        dry_spray=landed_below(driest, drops.mass_median, cut, *landing),
        passes=plan.passes,
        seconds_per_pass=plan.seconds_per_pass,
        time=plan.time,
        mist_per_landed=aimed * (1 - caught.share) / efficiency,
        past_edge_per_landed=(1 - aimed) / efficiency,
        account=budget,
    )


def _breaks_up(gun_inlet_pressure: Real, passage_ratio: Real) -> None:
    """Refuse air with which no drops are made."""
    least = inlet_for(SLOWEST, passage_ratio)
    if np.any(np.less(gun_inlet_pressure, least)):
        in_range(
            "gun_inlet_pressure",
            gun_inlet_pressure,
            float(np.max(least)),
            3.5e5,
            "With less air the paint does not break up into drops.",
        )


def _lost_in_flight(
    flight: Real, volume_solids: Real, evaporation: Real, caught: Captured, efficiency: Real
) -> tuple[Real, Real]:
    """Shares of their solvent that the drops which land lose on the way, and those that do not."""
    of_class = drop_loss.si(
        caught.class_size,
        np.asarray(flight)[..., None],
        np.asarray(volume_solids)[..., None],
        np.asarray(evaporation)[..., None],
    )
    landed = np.sum(of_class * caught.class_landed, axis=-1) / caught.share
    sprayed = np.sum(of_class * caught.class_sprayed, axis=-1)
    return landed, (sprayed - efficiency * landed) / (1 - efficiency)


def _of_endless(reach_across: Real, reach_along: Real, width: Real, depth: Real) -> Real:
    """Film in the middle over that among passes without end: a panel smaller than the fan has few, and short ones."""
    found: Real = erf(reach_across * 4 / (math.sqrt(2) * width)) * erf(reach_along * 4 / (math.sqrt(2) * depth))
    return found
