"""My gun, my paint, my hand, my panel: what the spraying calls take in place of a dozen single arguments."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from coursekit.quantities import InputError, Written, read
from coursekit.records import Record
from coursekit.spraying.air import inlet_for_cap
from coursekit.spraying.viscosity import read_cup, viscosity_from_cup
from coursekit.substances import read_solvent


@dataclass(frozen=True, repr=False)
class Gun(Record):
    """A gun as it is set up: its tip and cap, its air, its knobs. Another tip is another record, or `gun.but(…)`.

        Gun("my gun", tip_bore="1.3 mm", turns=2, gun_inlet_pressure="20 psi", fan_opening="75 %")

    When only what a test cap reads is known (`cap_pressure`), the air at the inlet is worked out from it.
    """

    tip_bore: Written
    turns: Written = 2
    gun_inlet_pressure: Written | None = None
    cap_pressure: Written | None = None
    fan_opening: Written = "100 %"
    air_cap: str = ""  # what is stamped on it

    kind: ClassVar[str] = "gun"

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.gun_inlet_pressure is None and self.cap_pressure is None:
            raise InputError(
                "gun_inlet_pressure", "or cap_pressure is needed.", 'Write "20 psi" or "1.4 bar".', kind="missing"
            )

    def arguments(self) -> dict[str, Any]:
        told = super().arguments()
        cap = told.pop("cap_pressure", None)
        if "gun_inlet_pressure" not in told:
            inlet = float(inlet_for_cap.si(read(cap, "cap_pressure")))
            told["gun_inlet_pressure"] = f"{inlet:.9g} Pa"
        return told


@dataclass(frozen=True, repr=False)
class Paint(Record):
    """A paint as it goes into the gun. Its viscosity in mm²/s, or the cup and its seconds.

        Paint("clear", cup="DIN 4", flow_time="16 s", density="1.0 kg/L", volume_solids="45 %")

    The solvent that leaves last says how fast drops dry in flight; left out, it is n-butyl acetate.
    """

    density: Written
    volume_solids: Written
    kinematic_viscosity: Written | None = None
    cup: str = ""
    flow_time: Written | None = None
    solvent: str = ""

    kind: ClassVar[str] = "paint"

    def __post_init__(self) -> None:
        super().__post_init__()
        if (self.flow_time is None) != (not self.cup):
            raise InputError(
                "flow_time", "goes with the name of the cup.", 'Write cup="DIN 4", flow_time="16 s".', kind="together"
            )
        if self.flow_time is not None:
            read_cup(self.cup)
        elif self.kinematic_viscosity is None:
            raise InputError(
                "kinematic_viscosity",
                "is missing.",
                'Write "30 mm²/s", or cup="DIN 4" and flow_time="16 s".',
                kind="missing",
            )
        self.arguments()

    def arguments(self) -> dict[str, Any]:
        told = super().arguments()
        seconds = told.pop("flow_time", None)
        if "kinematic_viscosity" not in told:
            viscosity = float(viscosity_from_cup.si(self.cup, read(seconds, "flow_time")))
            told["kinematic_viscosity"] = f"{viscosity * 1e6:.9g} mm²/s"
        if self.solvent:
            parts = read_solvent(self.solvent)
            told["volatility"] = float(parts.share @ parts.evaporation)
        return told


@dataclass(frozen=True, repr=False)
class Hand(Record):
    """How a gun is moved: distance, speed, overlap, and how far the trigger is pulled."""

    gun_distance: Written = "175 mm"
    gun_speed: Written = "0.45 m/s"
    overlap: Written = "50 %"
    trigger: Written = "100 %"

    kind: ClassVar[str] = "hand"


@dataclass(frozen=True, repr=False)
class Panel(Record):
    """What is sprayed: its two sides, the strokes along the first."""

    panel_width: Written
    panel_height: Written

    kind: ClassVar[str] = "panel"


KINDS: dict[str, type[Record]] = {cls.kind: cls for cls in (Gun, Paint, Hand, Panel)}
