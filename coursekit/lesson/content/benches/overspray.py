"""Where the sprayed paint goes: every part counted once, solids and solvent each closed."""

from __future__ import annotations

from typing import Any, NamedTuple

from coursekit.lesson.draw.charts import Slice, shares
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.spraying import overspray
from coursekit.spraying.overspray import Budget
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


class Found(NamedTuple):
    middle: Budget  # closes to the last drop, which bands need not
    bands: Any


def compute(**batch: Any) -> Found:
    mine = own.garage_file().using(overspray.budget)
    return Found(overspray.budget.si(**{**mine, **batch}), own.banded(overspray.budget, **batch))


def draw(now: Now) -> str:
    rows = account(now, "")
    if now.kept:
        rows += account(now.kept, "kept, ")
    return shares(rows)


def account(now: Now, before: str) -> list[tuple[str, list[Slice]]]:
    middle, bands = now.result
    lost = bands.paint_lost
    lands = Band(*(now["mixed_volume"] - end for end in reversed(lost)))
    cost = now["mixed_volume"] * 1000 * now["price_per_litre"]
    money = f", in money {now.show(bands.money_lost, 'money')} of {now.show(cost, 'money')}" if cost > 0 else ""
    whole = [
        Slice(
            "on the panel",
            now.number(float(middle.paint.mixed - middle.paint_lost), "paint_volume"),
            now.show(lands, "paint_volume"),
            "slant",
        ),
        Slice(
            "lost",
            now.number(float(middle.paint_lost), "paint_volume"),
            now.show(lost, "paint_volume") + money,
            "plain",
        ),
    ]
    solids, solvent = now.show(middle.solids.mixed, "solids_volume"), now.show(middle.solvent.mixed, "solvent_volume")
    return [
        (f"{before}paint as mixed, {now.text('mixed_volume')}", whole),
        (f"{before}solids, {solids} of dry film", parts(now, middle.solids, bands.solids, SOLIDS, "solids_volume")),
        (f"{before}solvent, {solvent}", parts(now, middle.solvent, bands.solvent, SOLVENT, "solvent_volume")),
    ]


def parts(now: Now, middle: Any, bands: Any, words: dict[str, tuple[str, str]], name: str) -> list[Slice]:
    return [
        Slice(label, now.number(float(getattr(middle, key)), name), now.show(getattr(bands, key), name), hatch)
        for key, (label, hatch) in words.items()
    ]


def say(now: Now) -> str:
    bands: Any = now.result.bands
    share = bands.shares
    elsewhere = Band(*(1 - end for end in reversed(share.landed)))
    words = (
        f"Of the solids in {now.text('mixed_volume')}, {now.show(share.landed, 'solids_share')} become film on the "
        f"panel. The other {now.show(elsewhere, 'solids_share')} lie on masks, past the edge, on the floor, hang in "
        "the air or stay in cup, strainer and gun, each drop counted once. The solvent does not stay in the film "
        f"either: {now.show(bands.solvent_to_air, 'lost_mass')} of it ends in the air. Lost: "
        f"{now.show(bands.paint_lost, 'paint_volume')} of paint"
    )
    if now["price_per_litre"] > 0:
        words += f", {now.show(bands.money_lost, 'money')} of your money"
    return words + "."


bench = Bench(
    title="Where the paint goes",
    about="The bars show the middle; the words beside them say how far it may be off. How much lands is not a slider "
    "here: nobody chooses it. Weigh a card, and the bars are yours.",
    controls={
        "mixed_volume": "300 mL",
        "volume_solids": Control("40 %", outfit=True, label="volume solids as sprayed"),
        "masked_share": Control("50 %", label="of what passes beside the panel: caught on masks"),
        "left_in_cup": "10 mL",
        "price_per_litre": Control("40", label="price of a litre, in your money", slider=(0, 200, 5)),
    },
    compute=compute,
    draw=draw,
    say=say,
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
