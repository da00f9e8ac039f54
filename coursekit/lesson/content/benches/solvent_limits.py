"""A level of solvent vapour between the limits for health and what burns, and which protection it requires."""

from __future__ import annotations

from typing import Any

from coursekit import garage
from coursekit.garage.vapour import FIRE_LIMIT
from coursekit.lesson.draw.picture import Bar, Bars
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.substances import limits, lowest_limit, molar_mass, substance_key

SOLVENTS = (
    "xylene",
    "toluene",
    "n-butyl acetate",
    "acetone",
    "methyl ethyl ketone",
    "isopropanol",
    "methoxypropyl acetate",
    "styrene",
    "ethylbenzene",
    "2-butoxyethanol",
    "VM&P naphtha",
    "white spirit",
)
HIGHEST = 2.7e-3  # share of the air; the axis stays put
TEMPERATURE = 298.15  # K, at which limits are printed


@declare(
    "One solvent against its limits",
    gives={
        "limit": "vapour_ppm",
        "immediate": "vapour_ppm",  # dangerous at once, where that is in print
        "tenth": "vapour_ppm",  # of the explosive limit
        "mass": "airborne_mass",
    },
    about="What burns lies fifty times and more over what harms. A level here is one that was measured: none can be "
    "read off a smell.",
    sources=["niosh-idlh", "niosh-npg-memory", "eu-indicative", "osha-1910-134"],
)
def bench(
    substance: str = at("xylene", label="solvent", options=SOLVENTS),
    vapour_ppm: float = at("200 ppm", label="in the air", slider=(0, 2500, 10), slider_us=(0, 2500, 10)),
    sprayed: str = at("sprayed", options=("sprayed", "not sprayed")),
) -> dict[str, Any]:
    key = substance_key(substance)
    row = limits()[key]
    return {
        "needed": garage.protection_needed.si(substance, f"{1e6 * vapour_ppm:.6g} ppm", sprayed),
        "limit": lowest_limit(key)[0],
        "immediate": row["immediate"] * 1e-6 if "immediate" in row else None,
        "tenth": FIRE_LIMIT * garage.lower_limit.si(substance),
        "mass": float(garage.mass_of.si(vapour_ppm, molar_mass(key), TEMPERATURE)),
    }


@bench.says
def say(now: Now) -> str:
    needed = now.needed
    return (
        f"{now.vapour_ppm} of {now.substance} vapour is {now.mass:2}. Needed: {needed.protection}. "
        f"{needed.reason[:1].upper()}{needed.reason[1:]}"
    )


@bench.draws
def draw(now: Now) -> Drawn:
    rows = [
        Bar("limit for health over a shift", now.limit, f"{now.limit:2}", "slant"),
        Bar("in the air", now.vapour_ppm, f"{now.vapour_ppm:2}", "cross", pinned="pinned, in the air"),
        Bar("a tenth of what burns: all leave", now.tenth, f"{now.tenth:2}", "dots"),
    ]
    if now.immediate is not None:
        rows.append(Bar("dangerous to life at once", now.immediate, f"{now.immediate:2}", "level"))
    return Bars(now.vapour_ppm.axis(HIGHEST), rows)
