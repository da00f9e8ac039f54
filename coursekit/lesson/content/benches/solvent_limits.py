"""A level of solvent vapour between the limits for health and what burns, and which protection it requires."""

from __future__ import annotations

from typing import NamedTuple

from coursekit import garage
from coursekit.garage.vapour import FIRE_LIMIT
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.workbench.bench import Bench, Control, Now
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


class Found(NamedTuple):
    needed: garage.Protection
    limit: float
    immediate: float | None  # dangerous at once
    tenth: float  # of the explosive limit
    mass: float


def compute(substance: str, vapour_ppm: float, sprayed: str) -> Found:
    row = limits()[substance_key(substance)]
    needed = garage.protection_needed.si(substance, f"{1e6 * vapour_ppm:.6g} ppm", sprayed)
    mass = float(garage.mass_of.si(vapour_ppm, molar_mass(substance_key(substance)), 298.15))
    return Found(
        needed,
        lowest_limit(substance_key(substance))[0],
        row["immediate"] * 1e-6 if "immediate" in row else None,
        FIRE_LIMIT * garage.lower_limit.si(substance),
        mass,
    )


def draw(now: Now) -> str:
    found = now.result
    rows = [
        ("limit for health over a shift", found.limit, "slant"),
        ("in the air", now["vapour_ppm"], "cross"),
        ("a tenth of what burns: all leave", found.tenth, "dots"),
    ]
    if found.immediate is not None:
        rows.append(("dangerous to life at once", found.immediate, "level"))
    if now.kept:
        rows.append(("kept, in the air", now.kept["vapour_ppm"], "plain"))
    axis = now.axis("vapour_ppm", 0, HIGHEST)
    return bars(
        axis.label,
        [
            Bar(label, now.number(value, "vapour_ppm"), now.show(value, "vapour_ppm", 2), hatch)
            for label, value, hatch in rows
        ],
        axis.high,
    )


def say(now: Now) -> str:
    needed = now.result.needed
    return (
        f"{now.text('vapour_ppm')} of {now['substance']} vapour are "
        f"{now.show(now.result.mass, 'airborne_mass', 2)}. Asked for: {needed.protection}. "
        f"{needed.reason[:1].upper()}{needed.reason[1:]}"
    )


bench = Bench(
    title="One solvent against its limits",
    about="What burns lies fifty times and more over what harms. A level here is one that was measured: none can be "
    "read off a smell.",
    controls={
        "substance": Control("xylene", label="solvent", options=SOLVENTS),
        "vapour_ppm": Control("200 ppm", label="in the air", slider=(0, 2500, 10), slider_us=(0, 2500, 10)),
        "sprayed": Control("sprayed", options=("sprayed", "not sprayed")),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["niosh-idlh", "niosh-npg-memory", "eu-indicative", "osha-1910-134"],
)
