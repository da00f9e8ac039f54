"""One stroke of the gun, and the passes of a coat: film, speed, time."""

import math
from typing import NamedTuple

import numpy as np

from coursekit.quantities import Real, Value, in_range, public
from coursekit.special import erf, normal_share

SPREAD = 4  # standard deviations in the visible width of a fan


class CoatPlan(NamedTuple):
    passes: Value
    step: Value
    seconds_per_pass: Value
    time: Value
    trigger_share: Value


@public(gives="solids_rate")
def solids_rate(fluid_delivery: Real, volume_solids: Real, transfer_efficiency: Real) -> Real:
    """Solids that land in a second, by the volume of dry film they make.

    volume_solids: of the paint as sprayed
    Gives (...) m³/s.
    Holds while the trigger is still. Source: derived-here.
    """
    return fluid_delivery * volume_solids * transfer_efficiency


@public(gives="dry_film")
def stroke_film(
    along: Real,
    across: Real,
    stroke_start: Real,
    stroke_end: Real,
    gun_speed: Real,
    solids_rate: Real,
    width: Real,
    fan_depth: Real,
) -> Real:
    """Dry film that one straight stroke with a bell-shaped fan leaves at a place.

    solids_rate: landing solids; less with part trigger
    width: full visible width of the fan, four standard deviations
    Gives (...) m: half of the full film where the trigger is pulled, 97.7 % half a depth further in.
    Holds on a flat panel square to the gun, at even speed. Source: moving-bell.
    """
    sigma_across, sigma_along = np.divide(width, SPREAD), np.divide(fan_depth, SPREAD)
    line = solids_rate / (gun_speed * math.sqrt(2 * math.pi) * sigma_across)
    scale = math.sqrt(2) * sigma_along
    ends = 0.5 * (erf((along - stroke_start) / scale) - erf((along - stroke_end) / scale))
    found: Real = line * np.exp(-0.5 * np.square(across / sigma_across)) * np.abs(ends)
    return found


@public(gives="dry_film")
def pause_film(pause: Real, solids_rate: Real, width: Real, fan_depth: Real) -> Real:
    """Dry film that a gun standing still adds in the middle of its spot.

    Gives (...) m.
    Holds for a bell-shaped spot. Source: moving-bell.
    """
    return pause * solids_rate * 16 / (2 * math.pi * width * fan_depth)


@public(gives="lead")
def least_lead(fan_depth: Real) -> Real:
    """Way to move before the panel begins and after it ends with the trigger pulled, so that edges get full film.

    Gives (...) m: two standard deviations, which leaves 97.7 % of the film at the edge.
    Holds for a bell-shaped fan. Source: moving-bell.
    """
    return np.divide(fan_depth, 2)


@public(gives="dry_film")
def coat_film(
    fluid_delivery: Real, volume_solids: Real, transfer_efficiency: Real, gun_speed: Real, pitch: Real
) -> Real:
    """Mean dry film of one coat, every pass that overlaps counted.

    volume_solids: of the paint as sprayed
    Gives (...) m.
    Holds away from the first and last pass. Source: derived-here.
    """
    return fluid_delivery * volume_solids * transfer_efficiency / (gun_speed * pitch)


@public(gives="gun_speed")
def speed_for_film(
    dry_film: Real, fluid_delivery: Real, volume_solids: Real, transfer_efficiency: Real, pitch: Real
) -> Real:
    """Gun speed that lays a wanted mean dry film in one coat.

    dry_film: wanted per coat; more than nothing
    volume_solids: of the paint as sprayed
    Gives (...) m/s; a hand keeps 0.3 to 0.6 m/s.
    Holds away from the first and last pass. Source: derived-here, common-practice.
    """
    in_range("dry_film", dry_film, 1e-7, 5e-3)
    return fluid_delivery * volume_solids * transfer_efficiency / (dry_film * pitch)


@public(
    gives={
        "passes": "passes",
        "step": "pitch",
        "seconds_per_pass": "pass_time",
        "time": "coat_time",
        "trigger_share": "trigger_share",
    }
)
def coat_plan(
    panel_width: Real, panel_height: Real, pitch: Real, gun_speed: Real, lead: Real = 0.05, turn_time: Real = 1.0
) -> CoatPlan:
    """Passes of one coat and their pace: the first is aimed at one edge, the last at the other.

    pitch: widest step from one pass to the next
    Gives (...) the passes, the even step that fits the panel, the seconds of trigger in each pass, the time of the
    coat with its turns, and the share of the trigger time in which the middle of the fan is over the panel.
    Holds for straight passes to and fro. Source: derived-here.
    """
    passes, _ = laid_passes(panel_height, pitch)
    step = np.asarray(panel_height / (passes - 1))
    trigger_way = panel_width + 2 * np.asarray(lead)
    seconds = trigger_way / gun_speed
    time = passes * seconds + (passes - 1) * turn_time
    return CoatPlan(np.asarray(passes)[()], step[()], seconds, time, panel_width / trigger_way)


def laid_passes(extent: Real, pitch: Real) -> tuple[Real, Real]:
    """How passes a pitch apart are laid, everywhere in the course: their number, and how far the first runs past the
    near border (SI).

    As few as reach both borders, their set in the middle. The pitch is kept: `coat_plan` fits it to the panel before.
    """
    # The last step may end a hair short by rounding: that is not one pass more.
    passes = np.ceil(np.divide(extent, pitch) * (1 - 1e-9)) + 1
    return passes, ((passes - 1) * pitch - extent) / 2


@public(gives="solids_share")
def aimed_share(
    panel_width: Real, panel_height: Real, pitch: Real, width: Real, fan_depth: Real, lead: Real = 0.05
) -> Real:
    """Share of a coat's spray that is aimed at the panel: what lies over it, of bell-shaped passes to and fro.

    pitch: step from one pass to the next, kept as it is
    Gives (...) share.
    Holds for a set of passes in the middle of the panel, the outermost on its edges or past them. A step that fits
    the panel, as `coat_plan` gives it, wastes least. Source: moving-bell.
    """
    sigma_across, sigma_along = np.divide(width, SPREAD), np.divide(fan_depth, SPREAD)
    passes, past = laid_passes(panel_height, pitch)
    if np.any(passes > 1001):
        in_range("pitch", pitch, float(np.max(panel_height)) / 1000, 10, "Take larger steps.")
    # As the set is centred, what one loses above another loses below: of each the far side counts twice.
    shape = np.broadcast_shapes(np.shape(passes), np.shape(pitch), np.shape(sigma_across))
    number = np.arange(int(np.max(passes))).reshape(-1, *(1,) * len(shape))
    part = erf((number * np.asarray(pitch) - past) / (math.sqrt(2) * sigma_across))
    inside: Real = np.sum(np.where(number < passes, part, 0), axis=0)
    # Along the stroke the trigger adds what spreads in from beyond the ends and takes what spreads out.
    reach = (panel_width + np.asarray(lead)) / sigma_along
    lost = np.asarray(lead) / sigma_along
    along = sigma_along * 2 * (_share_integral(reach) - _share_integral(lost)) / (panel_width + 2 * np.asarray(lead))
    return (inside / passes * along)[()]


def _share_integral(z: Real) -> Real:
    """Even part of the integral of the normal distribution's share up to z."""
    found: Real = z * (normal_share(z) - 0.5) + np.exp(-0.5 * np.square(z)) / math.sqrt(2 * math.pi)
    return found
