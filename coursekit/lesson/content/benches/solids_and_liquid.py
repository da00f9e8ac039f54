"""The transfer of the solids and that of the liquid, side by side."""

from __future__ import annotations

from typing import NamedTuple

from coursekit.lesson.draw.charts import Slice, shares
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.spraying import overspray
from coursekit.spraying.overspray import Budget
from coursekit.uncertain import Band

SPRAYED = 100e-6  # m³; only shares are shown
NONE_LEFT = dict.fromkeys(("left_in_cup", "left_in_hose", "left_in_strainer", "left_in_wash"), 0.0)


class Found(NamedTuple):
    liquid: Band
    account: Budget


def compute(transfer_efficiency: float, volume_solids: float) -> Found:
    liquid = own.banded(
        overspray.liquid_transfer, transfer_efficiency=transfer_efficiency, volume_solids=volume_solids
    )
    return Found(liquid, overspray.budget.si(SPRAYED, volume_solids, transfer_efficiency, **NONE_LEFT))


def draw(now: Now) -> str:
    rows = account(now, "")
    if now.kept:
        rows += account(now.kept, "kept: ")
    return shares(rows)


def account(now: Now, before: str) -> list[tuple[str, list[Slice]]]:
    solids, solvent = now.result.account.solids, now.result.account.solvent
    missed = float(SPRAYED - solids.landed - solvent.mixed)
    lands = [
        part(now, "solids that land", solids.landed, "slant"),
        part(now, "solvent that lands", solvent.in_wet_film, "dots"),
    ]
    return [
        (
            f"{before}out of the gun",
            [
                *lands,
                part(now, "solvent gone in flight", solvent.in_flight, "upright"),
                part(now, "solvent that misses", solvent.with_missed, "level"),
                part(now, "solids that miss", missed, "cross"),
            ],
        ),
        (f"{before}wet on the panel", lands),
        (f"{before}dry on the panel", lands[:1]),
    ]


def part(now: Now, label: str, volume: float, hatch: str) -> Slice:
    return Slice(label, float(volume), now.show(float(volume) / SPRAYED, "solids_share", 2), hatch)


def say(now: Now) -> str:
    return (
        f"{now.text('transfer_efficiency')} of the solids land, but of the liquid only "
        f"{now.show(now.result.liquid, 'liquid_transfer_efficiency')}, because solvent leaves the drops in flight. "
        "For the dry film and the tin count with the first figure; for what a comb reads in the wet film, with the "
        "second."
    )


bench = Bench(
    title="Two transfers: solids and liquid",
    about="Shares of the liquid that left the gun.",
    controls={
        "transfer_efficiency": Control("62 %", label="solids that land", measured="transfer_efficiency"),
        "volume_solids": Control("40 %", outfit=True, label="volume solids as sprayed"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["flight_loss", "transfer_efficiency", "transfer-definition", "transfer-trials", "derived-here"],
    measurement="transfer",
)
