"""What the tables of a recipe may say, but for its steps: their keys, how each is read and what it is left out."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any

from coursekit.nomenclature import load_data
from coursekit.panel import SHAPES
from coursekit.repair.fields import Field, choice, quantity, whole
from coursekit.repair.words import DAYS
from coursekit.sources import coefficient


@functools.lru_cache(maxsize=1)
def tools() -> Mapping[str, Mapping[str, Any]]:
    """What the hand or the machine holds, by its name; a backing that has a band is its coefficient."""
    rows = load_data("tools")
    return {
        name: row | {"backing": coefficient(row["backing"])} if isinstance(row["backing"], str) else row
        for name, row in rows.items()
    }


@functools.lru_cache(maxsize=1)
def materials() -> Mapping[str, Mapping[str, Any]]:
    """What a recipe says of a material when the learner's own data sheet does not."""
    return load_data("repair_materials")


SPRAYED = ("epoxy primer", "surfacer", "base", "clear")
COLOUR = ("base", "clear")

PANEL = {
    "shape": choice(tuple(SHAPES), "door", label="kind of panel"),
    "cell": quantity("cell", "5 mm", label="squares it is computed in", seldom=True),
    "sheet": choice(("steel", "plastic"), "steel", label="what it is made of"),
    "old_paint": quantity("old_film", "110 µm"),
    "texture": quantity("peel_height", "1 µm", label="orange peel of the old paint", seldom=True),
    "width": quantity("extent", "", label="its length along the car"),
    "height": quantity("extent", "", label="its height"),  # "": as the shape usually is
    "radius_along": quantity("crown_radius", "", label="radius of its curve along the car", seldom=True),
    "radius_up": quantity("crown_radius", "", label="radius of its curve upwards", seldom=True),
    "line_height": quantity(
        "place",
        "",
        label="height of the body line",
        meaning="distance of the body line from the panel's lower edge",
        seldom=True,
    ),
}
KEPT: Mapping[str, tuple[str, ...]] = {  # what the damage is opened down to → old films that stay under it
    "bare sheet": (),
    "primer": ("old primer",),
    "base": ("old primer", "old base"),
    "clear": ("old primer", "old base", "old clear"),
}
DAMAGE = {
    "x": quantity("place", label="begins from the front (or left) edge at"),
    "y": quantity("place", label="begins from the bottom (or left) edge at"),
    "width": quantity("extent", label="its width"),
    "height": quantity("extent", label="its height"),
    "low": quantity("low_metal", label="how low the metal lies"),
    "stripped": quantity(
        "place",
        "30 mm",
        label="bare metal around it",
        meaning="how far beyond the damage the old paint is sanded off to the metal",
    ),
    "feather": quantity(
        "place",
        "20 mm",
        label="old paint feathered over",
        meaning="width over which the old paint rises from the bare metal to its full film",
    ),
    "down_to": choice(
        tuple(KEPT),
        "bare sheet",
        label="old paint is gone down to",
        meaning="the old film that is whole under the damage; those above it are sanded off",
        seldom=True,
    ),
}
GARAGE = {
    "temperature": quantity("garage_temperature", "20 °C"),
    "humidity": quantity("humidity", "50 %"),
    "length": quantity("room_side", "6 m", label="length of the room"),
    "width": quantity("room_side", "3 m", label="width of the room"),
    "height": quantity("room_side", "2.4 m", label="height of the room"),
    "air_changes": quantity("air_changes", "1 /h", label="air changes in an hour"),
}
FORECAST = {  # a day of which each follows like it; the clock of the plan begins at `begins`
    "coldest": quantity("garage_temperature", "", label="overnight low"),
    "warmest": quantity("garage_temperature", "", label="daytime high"),
    "begins": Field("clock", "", "08:00", label="you begin at"),
}
START = {  # by the week's clock; without it the clock begins at zero, or as the forecast says
    "day": choice(DAYS, "Saturday", label="you begin on", meaning="day of the week on which the first step is done"),
    "at": Field("clock", "", "09:00", label="at what time"),
}
GUN = {
    key: quantity(key, "")
    for key in (
        "turns",
        "gun_inlet_pressure",
        "fan_opening",
        "trigger",
        "gun_distance",
        "tip_bore",
        "kinematic_viscosity",
    )
}
CUP = {  # the learner's own mixing cup, inside; `top` is left out of a straight one
    "bottom": quantity("cup_size", label="inside width at the bottom"),
    "top": quantity("cup_size", "", label="inside width at the top"),
    "height": quantity("cup_size", label="inside height"),
}
HAND = {
    "variation": quantity("hand_variation", "0 %", label="this replay varies the hand by"),
    "seed": whole("seed", 1, label="seed of the hand variation, a number", seldom=True),
}
MEASURED = {
    "wear_coefficient": quantity("wear_coefficient", ""),
    "size_exponent": quantity("size_exponent", ""),
    "scratch_factor": quantity("scratch_factor", ""),
    "pad_stiffness": quantity("pad_stiffness", ""),
}
NOT_NAMED = "not named"  # a hardener whose chemistry nobody told: taken for isocyanate
MATERIAL = {
    "volume_solids": quantity("volume_solids", label="volume solids, as mixed"),
    "densities": Field("densities", "density", label="density of each part, with commas", seldom=True),
    "hardness": quantity("hardness", seldom=True),
    "texture": quantity("peel_height", label="orange peel", seldom=True),
    "sag_limit": quantity("wet_film", label="wet film that hangs"),
    "dry_to_recoat": quantity("step_time", label="dry to recoat, as the sheet says"),
    "dry_to_sand": quantity("step_time", label="dry to sand, as the sheet says"),
    "recoat_until": quantity("step_time", label="recoat before, as the sheet says"),
    "pot_life": quantity("step_time", label="pot life, as the sheet says"),
    "ratio": Field("text", label="parts by volume"),
    "isocyanate": choice(("yes", "no"), label="isocyanate in the hardener"),
    "hardener": choice(
        (NOT_NAMED, *load_data("hardeners")), label="chemistry of the hardener, by its safety data sheet"
    ),
}
