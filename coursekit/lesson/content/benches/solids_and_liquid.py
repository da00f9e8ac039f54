"""The transfer of the solids and that of the liquid, side by side."""

from __future__ import annotations

from typing import Any

from coursekit.lesson.draw.picture import Shares, Slice
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.spraying import overspray

SPRAYED = 100e-6  # m³; only shares are shown
NONE_LEFT = dict.fromkeys(("left_in_cup", "left_in_hose", "left_in_strainer", "left_in_wash"), 0.0)


@declare(
    "Two transfers: solids and liquid",
    gives={"liquid": "liquid_transfer_efficiency", "parts": "solids_share"},
    about="Shares of the liquid that left the gun.",
    sources=["flight_loss", "transfer_efficiency", "transfer-definition", "transfer-trials", "derived-here"],
    measurement="transfer",
)
def bench(
    transfer_efficiency: float = at("62 %", label="solids that land", measured="transfer_efficiency"),
    volume_solids: float = at("40 %", outfit=True, label="volume solids as sprayed"),
) -> dict[str, Any]:
    account = overspray.budget.si(SPRAYED, volume_solids, transfer_efficiency, **NONE_LEFT)
    solids, solvent = account.solids, account.solvent
    parts = {
        "solids that land": solids.landed,
        "solvent that lands": solvent.in_wet_film,
        "solvent gone in flight": solvent.in_flight,
        "solvent that misses": solvent.with_missed,
        "solids that miss": SPRAYED - solids.landed - solvent.mixed,
    }
    return {
        "liquid": own.band_si(
            overspray.liquid_transfer, transfer_efficiency=transfer_efficiency, volume_solids=volume_solids
        ),
        "parts": {what: float(volume) / SPRAYED for what, volume in parts.items()},
    }


@bench.says
def say(now: Now) -> str:
    if now.volume_solids >= 1:
        return (
            f"{now.transfer_efficiency} of the solids land, and as much of the liquid: it holds no solvent to lose."
        )
    return (
        f"{now.transfer_efficiency} of the solids land, but of the liquid only {now.liquid}, because solvent leaves "
        "the drops in flight. For the dry film, and for how much to buy, take the first figure; for what a "
        "comb reads, the second."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    hatches = ("slant", "dots", "upright", "level", "cross")
    whole = [
        Slice(what, share, f"{share:2}", hatch)
        for (what, share), hatch in zip(now.parts.items(), hatches, strict=True)
    ]
    return Shares(
        [("out of the gun", whole), ("wet on the panel", whole[:2]), ("dry on the panel", whole[:1])], longest=100.0
    )
