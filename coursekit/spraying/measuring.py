"""What cups, cards and a test cap say of a gun: the functions behind measurements of tables/measurements/."""

from typing import Any

import numpy as np

from coursekit.belief import Observation, Print, drawn, read_directly, shipped
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.measurements import Seen, ways
from coursekit.nomenclature import names
from coursekit.quantities import InputError, Real, shown
from coursekit.sources import coefficient
from coursekit.spraying.air import cap_jet, passages_from_reading
from coursekit.spraying.choose import gun_coefficients
from coursekit.spraying.fluid import cup_test, fit_of
from coursekit.spraying.masking import edge_angle_spread
from coursekit.spraying.masking import ramp_width as straight_ramp
from coursekit.spraying.pattern import REFERENCE_DISTANCE, fan_shape
from coursekit.spraying.setting import spray_setting

GAUGES = 0.06  # of the passage ratio, from 0.05 bar at the inlet and 0.02 bar at the cap
RANGE = 500  # guns asked what a setting may land
FAN = 0.09  # of the fan's width, from 15 mm of it and 15 mm of the distance


def turns(
    one_turn: Real,
    two_turns: Real,
    three_turns: Real,
    time: Real,
    tip_bore: Real,
    kinematic_viscosity: Real,
    density: Real,
    cap_pressure: Real | None = None,
    gun_inlet_pressure: Real | None = None,
) -> Seen:
    """Deliveries in cup tests at one, two and three turns, for what they say of the gun. Source: cup-test."""
    if (cap_pressure is None) == (gun_inlet_pressure is None):
        raise InputError(
            "cap_pressure", "or gun_inlet_pressure is needed, not both.", "Give what you read.", kind="missing"
        )
    deliveries = [float(np.mean(paint / time)) for paint in (one_turn, two_turns, three_turns)]
    air = {"cap_pressure": cap_pressure, "gun_inlet_pressure": gun_inlet_pressure}
    given = {"tip_bore": tip_bore, "kinematic_viscosity": kinematic_viscosity, "density": density, **air}
    setting = {key: float(np.mean(value)) for key, value in given.items() if value is not None}
    fit = fit_of([1.0, 2.0, 3.0], deliveries, setting, shipped())
    return Seen(() if fit.contradiction else fit.observed, "fluid_delivery", fit.contradiction)


def pattern(
    width: Real, gun_distance: Real, middle_film: Real | None = None, quarter_film: Real | None = None
) -> dict[str, Any]:
    """Width of the open fan at the reference distance, and the shape of its profile. Source: beta-profile."""
    found = {"open_fan": width * REFERENCE_DISTANCE / gun_distance}
    if (middle_film is None) != (quarter_film is None):
        raise InputError("middle_film", "goes with quarter_film.", "Give both or none.", kind="together")
    if middle_film is not None and quarter_film is not None:
        found["fan_shape"] = fan_shape.si(middle_film, quarter_film)
    return found


def ramp(ramp_width: Real, lip_height: Real, fan_extent: Real, gun_distance: Real) -> dict[str, Any]:
    """How drops' directions spread across one edge, and its ramp over that of straight rays. Source: ray-geometry."""
    spread = edge_angle_spread.si(fan_extent, gun_distance)
    return {"angle_spread": spread, "width_factor": ramp_width / straight_ramp.si(lip_height, spread, 1.0)}


def landing(
    transfer_efficiency: Real,
    turns: Real,
    gun_inlet_pressure: Real,
    fan_opening: Real,
    gun_distance: Real,
    overlap: Real,
    tip_bore: Real,
    kinematic_viscosity: Real,
    density: Real,
    volume_solids: Real,
    panel_width: Real,
    panel_height: Real,
) -> Seen:
    """The share of a card that this setting landed. Source: impactor-notes.

    A card tells air, drops and cut only together: what it says is how much lands.
    """
    given = {
        "turns": turns,
        "gun_inlet_pressure": gun_inlet_pressure,
        "fan_opening": fan_opening,
        "gun_distance": gun_distance,
        "overlap": overlap,
        "tip_bore": tip_bore,
        "kinematic_viscosity": kinematic_viscosity,
        "density": density,
        "volume_solids": volume_solids,
        "panel_width": panel_width,
        "panel_height": panel_height,
    }
    # Neither the speed of the hand nor a full pull changes what share lands.
    setting: dict[str, Any] = {key: float(np.mean(value)) for key, value in given.items()}
    setting |= {"gun_speed": 0.45, "trigger": 1.0}
    share = float(np.mean(transfer_efficiency))
    error = float(ways()["landing"].fields["transfer_efficiency"].stray(np.array(share)))
    error /= np.size(transfer_efficiency) ** 0.5
    shares = _can_land(setting)
    if not min(shares) < share < max(shares):
        least, most = (shown(value, "transfer_efficiency", digits=2) for value in (min(shares), max(shares)))
        raise InputError(
            "transfer_efficiency",
            f"is beyond what such a setting can land: {least} to {most}.",
            "Check the weights, the size of the card and the setting.",
            kind="no solution",
        )
    read = Print(share, max(share - error, 1e-3), min(share + error, 1 - 1e-3), "measured-by-you", "measured by you")
    seen = Observation(
        "landing",
        "share of the solids that land on the card",
        "spraying.spray_setting",
        tuple(sorted(setting.items())),
        "account.transfer_efficiency",
        (read,),
        "share",
    )
    return Seen((seen,), "transfer_efficiency", "")


def _can_land(setting: dict[str, Any]) -> np.ndarray:
    """Shares that such a setting lands with the guns of the course, their cuts at either end of the table."""
    row = names()["cut_factor"]
    guns = drawn(gun_coefficients(None), RANGE)
    return np.concatenate(
        [
            np.asarray(spray_setting.si(**setting, **{**guns, "cut_factor": cut}).account.transfer_efficiency)
            for cut in (row.low, row.high)
        ]
    )


def measurable(
    turns: float,
    gun_inlet_pressure: float,
    fan_opening: float,
    gun_distance: float,
    overlap: float,
    tip_bore: float,
    kinematic_viscosity: float,
    density: float,
    volume_solids: float,
    panel_width: float = 0.6,
    panel_height: float = 0.4,
    **_: Any,
) -> dict[str, tuple[Observation, ...]]:
    """What of a gun at that setting (SI) could be measured in a garage, by the measurement's key: the observations
    with their errors of reading, for `belief.widest`. Unless given, a weighed card is 600 by 400 mm."""
    given = locals()
    cup = {key: float(given[key]) for key in ("tip_bore", "kinematic_viscosity", "density", "gun_inlet_pressure")}
    cups = tuple(cup_test({**cup, "turns": turn}, 2.5e-6) for turn in (1.0, 2.0, 3.0))
    card = {key: float(value) for key, value in given.items() if key != "_"} | {"gun_speed": 0.45, "trigger": 1.0}
    error = float(ways()["landing"].fields["transfer_efficiency"].stray(np.array(0.6)))
    lands = Print(0.6, 0.6 - error, 0.6 + error, "measured-by-you", "measured by you")
    return {
        "delivery": (cup_test({**cup, "turns": float(turns)}, 2.5e-6),),
        "turns": cups,
        "gauge": (read_directly("passage_ratio", float(coefficient("passage_ratio")), GAUGES),),
        "pattern": (read_directly("open_fan", float(coefficient("open_fan")), FAN),),
        "landing": (
            Observation(
                "landing",
                "share that lands",
                "spraying.spray_setting",
                tuple(sorted(card.items())),
                "account.transfer_efficiency",
                (lands,),
                "share",
            ),
        ),
    }


def gauge(air_gauge: str, gun_inlet_pressure: Real | None = None, cap_pressure: Real | None = None) -> dict[str, Any]:
    """Which gauge is read is a fact; both readings give the gun's passages. Source: series-restrictions."""
    if (gun_inlet_pressure is None) != (cap_pressure is None):
        raise InputError("cap_pressure", "goes with gun_inlet_pressure.", "Give both or none.", kind="together")
    if gun_inlet_pressure is None or cap_pressure is None:
        return {}
    return {"passage_ratio": passages_from_reading.si(gun_inlet_pressure, cap_pressure)}


def printed(gun_inlet_pressure: Real, cap_pressure: Real, air_use: Real) -> dict[str, Any]:
    """A gun's label gives its passages, and the holes of its cap by the air they let through.

    Source: series-restrictions, isentropic-flow; how far a label may be off is assumed.
    """
    through = cap_jet.si(cap_pressure, ROOM_TEMPERATURE).air_use
    return {
        "passage_ratio": passages_from_reading.si(gun_inlet_pressure, cap_pressure),
        "cap_area": air_use / through,
    }
