"""What cups, cards and a test cap say of a gun: the functions behind measurements of tables/measurements/."""

import inspect
from collections.abc import Mapping
from typing import Any

import numpy as np

from coursekit.measurements import Fitted, ways
from coursekit.nomenclature import names
from coursekit.quantities import InputError, shown, shown_band
from coursekit.sources import Coefficient, sample_all
from coursekit.spraying.air import passages_from_reading, pressure_at_cap
from coursekit.spraying.fluid import fit_delivery
from coursekit.spraying.masking import edge_angle_spread
from coursekit.spraying.masking import ramp_width as straight_ramp
from coursekit.spraying.pattern import REFERENCE_DISTANCE, fan_shape
from coursekit.spraying.setting import spray_setting


def turns(one_turn: Any, two_turns: Any, three_turns: Any, time: Any, tip_bore: Any, kinematic_viscosity: Any,
          cap_pressure: Any = None, gun_inlet_pressure: Any = None) -> Fitted:  # fmt: skip
    """The gun's coefficients from cup tests at one, two and three turns. Source: cup-test."""
    if (cap_pressure is None) == (gun_inlet_pressure is None):
        raise InputError("cap_pressure", "or gun_inlet_pressure is needed, not both.", "Give what you read.")
    if cap_pressure is None:
        cap_pressure = pressure_at_cap.si(gun_inlet_pressure)
    deliveries = [float(np.mean(paint / time)) for paint in (one_turn, two_turns, three_turns)]
    fixed = (float(np.mean(value)) for value in (tip_bore, kinematic_viscosity, cap_pressure))
    fit = fit_delivery.si([1.0, 2.0, 3.0], deliveries, *fixed)
    if not fit.agrees:
        return Fitted({}, "", fit.words)
    return Fitted(fit.coefficients, fit.words, "")


def pattern(width: Any, gun_distance: Any, middle_film: Any = None, quarter_film: Any = None) -> dict[str, Any]:
    """Width of the open fan at the reference distance, and the shape of its profile. Source: beta-profile."""
    found = {"open_fan": width * REFERENCE_DISTANCE / gun_distance}
    if (middle_film is None) != (quarter_film is None):
        raise InputError("middle_film", "goes with quarter_film.", "Give both or none.")
    if middle_film is not None:
        found["fan_shape"] = fan_shape.si(middle_film, quarter_film)
    return found


def ramp(ramp_width: Any, lip_height: Any, fan_extent: Any, gun_distance: Any) -> dict[str, Any]:
    """How drops' directions spread across one edge, and its ramp over that of straight rays. Source: ray-geometry."""
    spread = edge_angle_spread.si(fan_extent, gun_distance)
    return {"angle_spread": spread, "width_factor": ramp_width / straight_ramp.si(lip_height, spread, 1.0)}


NUDGE = 0.02  # of a coefficient, to see how far the share follows it
SAID = 300  # samples behind what a weighed card says


def landing(transfer_efficiency: Any, turns: Any, gun_inlet_pressure: Any, fan_opening: Any, gun_distance: Any,
            overlap: Any, tip_bore: Any, kinematic_viscosity: Any, density: Any, volume_solids: Any, panel_width: Any,
            panel_height: Any) -> Fitted:  # fmt: skip
    """The cut of the spray with which this setting lands that share of a card. Source: impactor-notes.

    A card tells the cut only together with the drops, the air and the paint that made it, so the cut follows those
    in every band: what it says is how much lands.
    """
    given = {"turns": turns, "gun_inlet_pressure": gun_inlet_pressure, "fan_opening": fan_opening,
             "gun_distance": gun_distance, "overlap": overlap, "tip_bore": tip_bore,
             "kinematic_viscosity": kinematic_viscosity, "density": density, "volume_solids": volume_solids,
             "panel_width": panel_width, "panel_height": panel_height}  # fmt: skip
    setting: dict[str, Any] = {key: float(np.mean(value)) for key, value in given.items()}
    share = float(np.mean(transfer_efficiency))
    error = float(ways()["landing"].fields["transfer_efficiency"].stray(np.array(share)))
    error /= np.size(transfer_efficiency) ** 0.5
    gun = {name: p.default for name, p in inspect.signature(spray_setting.si).parameters.items()
           if isinstance(p.default, Coefficient)}  # fmt: skip

    def lands(**gun: Any) -> Any:
        # Neither the speed of the hand nor a full pull changes what share lands.
        found = spray_setting.si(**setting, gun_speed=0.45, trigger=1.0, **gun)
        return found.aimed * found.captured

    row = names()["cut_factor"]
    cuts = np.geomspace(row.low, row.high, 400)
    shares = lands(cut_factor=cuts)[::-1]  # a larger cut lands less
    if not shares[0] < share < shares[-1]:
        least, most = (shown(value, "transfer_efficiency", digits=2) for value in (shares[0], shares[-1]))
        raise InputError("transfer_efficiency", f"is beyond what such a setting can land: {least} to {most}.",
                         "Check the weights, the size of the card and the setting.")  # fmt: skip
    high, cut, low = (float(np.exp(np.interp(end, shares, np.log(cuts[::-1]))))
                      for end in (share - error, share, share + error))  # fmt: skip
    through = _powers(lands, {**gun, "cut_factor": cut})
    follows = {key: power for key, (_, power) in through.items()}
    known = Coefficient(cut, low, high, key="cut_factor", kind="measured by you", source="measured-by-you",
                        follows=follows)  # fmt: skip
    before, after = (np.percentile(lands(**sample_all(numbers, SAID, np.random.default_rng(1))), [5, 95])
                     for numbers in (gun, {**gun, "cut_factor": known}))  # fmt: skip
    told, tells = (shown_band(ends[0], ends[1], "transfer_efficiency") for ends in (before, after))
    words = (f"Of the solids sprayed at that setting the course now says that {tells} land on the card; before it "
             f"said {told}. Every lesson with this gun's mist follows.")  # fmt: skip
    if not gun["cut_factor"].low <= cut <= gun["cut_factor"].high:
        words += (" Your card lies outside what this course takes as usual for such a gun: check weights, setting "
                  "and card. If it stands, trust your card.")  # fmt: skip
    return Fitted({"cut_factor": known}, words, "", through)


def _powers(lands: Any, gun: Mapping[str, float]) -> dict[str, tuple[float, float]]:
    """With what power the cut has to follow each other number of a gun for the same share to land."""
    bump = 1 + NUDGE * np.eye(len(gun))
    up, down = (lands(**{name: value * factors[number] for number, (name, value) in enumerate(gun.items())})
                for factors in (bump, 1 / bump))  # fmt: skip
    slopes = dict(zip(gun, up - down, strict=True))
    powers = {name: -float(slope / slopes["cut_factor"]) for name, slope in slopes.items() if name != "cut_factor"}
    return {name: (float(gun[name]), power) for name, power in powers.items() if abs(power) > 0.01}


def gauge(air_gauge: str, gun_inlet_pressure: Any = None, cap_pressure: Any = None) -> dict[str, Any]:
    """Which gauge is read is a fact; both readings give the gun's passages. Source: series-restrictions."""
    if (gun_inlet_pressure is None) != (cap_pressure is None):
        raise InputError("cap_pressure", "goes with gun_inlet_pressure.", "Give both or none.")
    if cap_pressure is None:
        return {}
    return {"passage_ratio": passages_from_reading.si(gun_inlet_pressure, cap_pressure)}
