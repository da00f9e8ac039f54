"""The air of the garage, what it requires, and what a repair costs."""

from coursekit.garage.cautions import AirSample, Caution, ReEntry, cautions, isocyanate_samples, re_entry
from coursekit.garage.cost import Bill, BillLine, Saving, bill, savings
from coursekit.garage.measuring import SmokeClearance, smoke_clearance
from coursekit.garage.protection import Protection, protection_needed
from coursekit.garage.purge import purge_time
from coursekit.garage.vapour import (
    AirNeeded,
    CoatSolvent,
    RoomAir,
    StillAir,
    air_needed,
    coat_solvent,
    fire_air,
    health_air,
    lower_limit,
    mass_of,
    mixture_index,
    ppm_of,
    room_air,
    shift_average,
    steady_air,
    still_air,
    vapour_volume,
)

__all__ = [
    "AirNeeded",
    "AirSample",
    "Bill",
    "BillLine",
    "Caution",
    "CoatSolvent",
    "Protection",
    "ReEntry",
    "RoomAir",
    "Saving",
    "SmokeClearance",
    "StillAir",
    "air_needed",
    "bill",
    "cautions",
    "coat_solvent",
    "fire_air",
    "health_air",
    "isocyanate_samples",
    "lower_limit",
    "mass_of",
    "mixture_index",
    "ppm_of",
    "protection_needed",
    "purge_time",
    "re_entry",
    "room_air",
    "savings",
    "shift_average",
    "smoke_clearance",
    "steady_air",
    "still_air",
    "vapour_volume",
]
