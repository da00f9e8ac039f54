"""The chosen gun, paint, hand and panel of the learner, for benches in which only some of it is moved."""

from __future__ import annotations

from coursekit.figure import Figure
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.now import Units

GUN = ("turns", "gun_inlet_pressure", "tip_bore", "kinematic_viscosity", "density", "volume_solids")
HAND = ("gun_distance", "gun_speed", "overlap", "fan_opening")
Numbers = tuple[tuple[str, float], ...]


def gun_and_paint() -> dict[str, float]:
    """The chosen gun and paint, the trigger pulled fully: there only the hand moves."""
    mine = own.my_outfit().si
    return {**{key: mine[key] for key in GUN}, "trigger": 1.0}


def usual_hand() -> dict[str, float]:
    mine = own.my_outfit().si
    return {key: mine[key] for key in HAND}


def sides() -> tuple[float, float]:
    """Of the chosen panel, m: along and across the strokes."""
    mine = own.my_outfit().si
    return mine["panel_width"], mine["panel_height"]


def gun_words(units: Units) -> str:
    """What the chosen gun and paint are, for the head of a bench."""
    mine = own.my_outfit()
    said = {key: units(mine.si[key], key) for key in GUN}
    return (
        f"Your gun: {mine.gun.name}, {said['tip_bore']} tip, {said['turns']} turns out, "
        f"{said['gun_inlet_pressure']} at its inlet, full trigger. Your paint: {mine.paint.name}, "
        f"{said['kinematic_viscosity']}, {said['volume_solids']} solids by volume."
    )


def share_words(share: Figure) -> str:
    """A band of shares in words, without the digits of what is next to nothing."""
    least = share.of(0.01)
    if share.high < least:
        return f"less than {least}"
    return f"up to {share.high:2}" if share.low < least else f"{share}"
