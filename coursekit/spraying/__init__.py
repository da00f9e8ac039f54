"""The gun: fluid, air, drops, pattern, transfer and where the paint goes."""

from coursekit.spraying import overspray
from coursekit.spraying.air import cap_jet
from coursekit.spraying.air_supply import hose_loss, trigger_time
from coursekit.spraying.settling import settling_speed
from coursekit.spraying.viscosity import cup_time, cups, viscosity_from_cup

__all__ = [
    "cap_jet",
    "cup_time",
    "cups",
    "hose_loss",
    "overspray",
    "settling_speed",
    "trigger_time",
    "viscosity_from_cup",
]
