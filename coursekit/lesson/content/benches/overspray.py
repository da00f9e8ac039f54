"""Where the sprayed paint goes: every part counted once, solids and solvent each closed."""

from __future__ import annotations

from typing import Any

from coursekit.lesson.draw.picture import Shares, Slice
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.spraying import overspray
from coursekit.uncertain import Band

SOLIDS = {
    "landed": ("on the panel", "slant"),
    "on_masks": ("on masks", "dots"),
    "past_edge": ("past the edge", "cross"),
    "settling": ("mist that settles", "level"),
    "airborne": ("mist in the air", "upright"),
    "left": ("left in cup, strainer, gun", "back"),
}
SOLVENT = {
    "in_wet_film": ("in the wet film", "slant"),
    "in_flight": ("gone in flight", "upright"),
    "with_missed": ("with the paint that missed", "cross"),
    "left": ("left in cup, strainer, gun", "back"),
}


@declare(
    "Where the paint goes",
    gives={
        "middle": overspray.budget,  # closes to the last drop, which bands need not
        "bands": overspray.budget,
        "landed": "paint_volume",
        "lands": "paint_volume",
        "elsewhere": "solids_share",
        "cost": "money",
    },
    about="The bars show the middle; the words beside them say how far it may be off. How much lands is not a "
    "slider here: nobody chooses it. Weigh a card, and the bars are yours.",
    sources=[
        "transfer_efficiency",
        "mist_share",
        "airborne_share",
        "flight_loss",
        "left_in_strainer",
        "left_in_wash",
        "transfer-definition",
        "transfer-trials",
        "derived-here",
    ],
    measurement="transfer",
)
def bench(
    mixed_volume: float = at("300 mL"),
    volume_solids: float = at("40 %", outfit=True, label="volume solids as sprayed"),
    masked_share: float = at("50 %", label="of what misses the panel: caught on the masking"),
    left_in_cup: float = at("10 mL"),
    price_per_litre: float = at("40", label="price of a litre, in your currency", slider=(0, 200, 5)),
) -> dict[str, Any]:
    batch: dict[str, Any] = {
        "mixed_volume": mixed_volume,
        "volume_solids": volume_solids,
        "masked_share": masked_share,
        "left_in_cup": left_in_cup,
        "price_per_litre": price_per_litre,
    }
    middle = overspray.budget.si(**{**own.garage_file().using(overspray.budget), **batch})
    bands = own.band_si(overspray.budget, **batch)
    return {
        "middle": middle,
        "bands": bands,
        "landed": float(middle.paint.mixed - middle.paint_lost),
        "lands": Band(*(mixed_volume - end for end in reversed(bands.paint_lost))),
        "elsewhere": Band(*(1 - end for end in reversed(bands.shares.landed))),
        "cost": mixed_volume * 1000 * price_per_litre,
    }


@bench.says
def say(now: Now) -> str:
    words = (
        f"Of the solids in {now.mixed_volume}, {now.bands.shares.landed} become film on the panel. The other "
        f"{now.elsewhere} lie on the masking, past the edge, on the floor, hang in the air or stay in cup, strainer "
        f"and gun. No drop counts twice. The solvent does not stay in the film either: {now.bands.solvent_to_air} of "
        f"it ends in the air. Lost: {now.bands.paint_lost} of paint"
    )
    if now.price_per_litre > 0:
        words += f", {now.bands.money_lost} in your currency"
    return words + "."


@bench.draws
def draw(now: Now) -> Drawn:
    middle, bands = now.middle, now.bands
    money = f", in money {bands.money_lost} of {now.cost}" if now.cost > 0 else ""
    whole = [
        Slice("on the panel", now.landed, f"{now.lands}", "slant"),
        Slice("lost", middle.paint_lost, f"{bands.paint_lost}{money}"),
    ]
    return Shares(
        [
            (f"paint as mixed, {now.mixed_volume}", whole),
            (f"solids, {middle.solids.mixed} of dry film", parts(middle.solids, bands.solids, SOLIDS)),
            (f"solvent, {middle.solvent.mixed}", parts(middle.solvent, bands.solvent, SOLVENT)),
        ]
    )


def parts(middle: Any, bands: Any, words: dict[str, tuple[str, str]]) -> list[Slice]:
    return [
        Slice(label, getattr(middle, key), f"{getattr(bands, key)}", hatch) for key, (label, hatch) in words.items()
    ]
