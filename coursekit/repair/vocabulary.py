"""What a recipe may say: the tables, their keys, how each is read and what it is when it is left out."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

from coursekit.nomenclature import load_data
from coursekit.panel import SHAPES
from coursekit.sources import coefficient

Reads = Literal["quantity", "choice", "area", "grade", "block", "whole", "text", "densities", "clock"]


class Field(NamedTuple):
    """One key of a recipe: how it is read, the row of the nomenclature or the choices, and its default text."""

    reads: Reads
    of: str | tuple[str, ...] = ""
    default: Any = None  # None: has to be given; "": may be left out, and is None then

    def __str__(self) -> str:
        return self.of if isinstance(self.of, str) else " / ".join(self.of)


def _quantity(name: str, default: Any = None) -> Field:
    return Field("quantity", name, default)


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


def _tool_names(use: str) -> tuple[str, ...]:
    return tuple(name for name, tool in tools().items() if use in tool["use"])


DIRECTIONS = ("along", "across", "cross")
SPRAYED = ("epoxy primer", "surfacer", "base", "clear")
AREA = Field("area", "", "all")
TIME = _quantity("step_time")

PANEL = {
    "shape": Field("choice", tuple(SHAPES), "door"),
    "cell": _quantity("cell", "5 mm"),
    "sheet": Field("choice", ("steel", "plastic"), "steel"),
    "old_paint": _quantity("old_film", "110 µm"),
    "texture": _quantity("peel_height", "1 µm"),
    "width": _quantity("extent", ""),
    "height": _quantity("extent", ""),  # "": as the shape usually is
    "radius_along": _quantity("crown_radius", ""),
    "radius_up": _quantity("crown_radius", ""),
    "line_height": _quantity("place", ""),
}
DAMAGE = {
    "x": _quantity("place"),
    "y": _quantity("place"),
    "width": _quantity("extent"),
    "height": _quantity("extent"),
    "low": _quantity("low_metal"),
    "stripped": _quantity("place", "30 mm"),
    "feather": _quantity("place", "20 mm"),
}
GARAGE = {
    "temperature": _quantity("temperature", "20 °C"),
    "humidity": _quantity("humidity", "50 %"),
    "length": _quantity("room_side", "6 m"),
    "width": _quantity("room_side", "3 m"),
    "height": _quantity("room_side", "2.4 m"),
    "air_changes": _quantity("air_changes", "1 /h"),
}
FORECAST = {  # a day of which each follows like it; the clock of the plan begins at `begins`
    "coldest": _quantity("temperature", ""),
    "warmest": _quantity("temperature", ""),
    "begins": Field("clock", "", "08:00"),
}
GUN = {
    key: _quantity(key, "")
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
    "bottom": _quantity("cup_size"),
    "top": _quantity("cup_size", ""),
    "height": _quantity("cup_size"),
}
HAND = {"variation": _quantity("hand_variation", "0 %"), "seed": Field("whole", "seed", 1)}
MEASURED = {
    "wear_coefficient": _quantity("wear_coefficient", ""),
    "size_exponent": _quantity("size_exponent", ""),
    "scratch_factor": _quantity("scratch_factor", ""),
    "pad_stiffness": _quantity("pad_stiffness", ""),
}
NOT_NAMED = "not named"  # a hardener whose chemistry nobody told: taken for isocyanate
MATERIAL = {
    "volume_solids": _quantity("volume_solids"),
    "densities": Field("densities", "density"),
    "hardness": _quantity("hardness"),
    "texture": _quantity("peel_height"),
    "sag_limit": _quantity("wet_film"),
    "dry_to_recoat": TIME,
    "dry_to_sand": TIME,
    "recoat_until": TIME,
    "pot_life": TIME,
    "ratio": Field("text"),
    "isocyanate": Field("choice", ("yes", "no")),
    "hardener": Field("choice", (NOT_NAMED, *load_data("hardeners"))),
}


@functools.lru_cache(maxsize=1)
def steps() -> Mapping[str, Mapping[str, Field]]:
    """What each step may say."""
    sanded = {
        "area": AREA,
        "force": _quantity("force", "20 N"),
        "overhang": _quantity("overhang", "40 %"),
        "keep_off": _quantity("place", ""),
    }
    by_hand = {
        "paper": Field("grade"),
        **sanded,
        "strokes": _quantity("strokes"),
        "block": Field("block", "", ""),
        "direction": Field("choice", DIRECTIONS, "cross"),
    }
    by_machine = {**sanded, "time": TIME, "rotation": _quantity("rotation", "10000 /min")}
    return {
        "clean": {"wipes": Field("whole", "wipes", 2), "area": AREA, "time": _quantity("step_time", "10 min")},
        "fill": {
            "proud": _quantity("proud_filler", "0.2 mm"),
            "ripple": _quantity("ripple", "0.1 mm"),
            "area": Field("area", "", "damage"),
            "time": _quantity("step_time", "10 min"),
        },
        "guide coat": {"area": AREA, "time": _quantity("step_time", "2 min")},
        "block": {**by_hand, "tool": Field("choice", _tool_names("block"), "hand block")},
        "hand sand": {**by_hand, "tool": Field("choice", _tool_names("hand sand"), "soft pad")},
        "machine sand": {
            **by_machine,
            "paper": Field("grade"),
            "orbit": _quantity("orbit", "5 mm"),
            "tool": Field("choice", _tool_names("machine sand"), "machine pad"),
        },
        "polish": {
            **by_machine,
            "compound": Field("choice", tuple(load_data("compounds")), "medium"),
            "orbit": _quantity("orbit", "8 mm"),
            "rotation": _quantity("rotation", "5000 /min"),
            "tool": Field("choice", _tool_names("polish"), "polishing pad"),
        },
        "mask": {
            "open": Field("area", "", "repair"),
            "edge": Field("choice", ("raised", "flat"), "raised"),
            "lip": _quantity("lip_height", "5 mm"),
            "time": _quantity("step_time", "10 min"),
        },
        "unmask": {"time": _quantity("step_time", "2 min")},
        "spray": {
            "material": Field("choice", SPRAYED),
            "coats": Field("whole", "coats", 1),
            "area": AREA,
            "flash": _quantity("step_time", "10 min"),
            "reduction": _quantity("reduction", "0 %"),
            "delivery": _quantity("fluid_delivery", "150 mL/min"),
            "speed": _quantity("gun_speed", "0.45 m/s"),
            "step": _quantity("pitch", "125 mm"),
            "fan": _quantity("width", "250 mm"),
            "captured": _quantity("transfer_efficiency", "75 %"),
            "lead": _quantity("lead", "50 mm"),
            "cover": _quantity("cover", "1 m"),
            "left": _quantity("paint_volume", "25 mL"),
            "direction": Field("choice", DIRECTIONS, "along"),
            **GUN,
        },
        "wait": {"time": TIME},
    }
