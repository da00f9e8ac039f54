"""What changes the loss: each uncertain number moved from end to end, all others held."""

from __future__ import annotations

from typing import Any

from coursekit.figure import Figure, first_holding
from coursekit.lesson.draw.levers import Lever, levers
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.nomenclature import names
from coursekit.quantities import give, read
from coursekit.spraying import overspray
from coursekit.uncertain import Band

ANY_SOLIDS = 0.4  # paint lost is counted as it was mixed, whatever its solids
AXES = [50e-6 * 2**n for n in range(10)]  # m³


@declare(
    "What changes the loss",
    gives={"lost": "paint_volume", "money": "money", "moved": "paint_volume"},
    about="Each bar: the paint lost, and how far it moves when that one number alone goes from low to high.",
    sources=[
        "transfer_efficiency",
        "left_in_cup",
        "left_in_strainer",
        "left_in_wash",
        "transfer-trials",
        "derived-here",
    ],
    measurement="transfer",
)
def bench(
    mixed_volume: float = at("300 mL"),
    left_in_hose: float = at("0 mL", label="left in a fluid hose, if there is one"),
    price_per_litre: float = at("40", label="price of a litre, in your currency", slider=(0, 200, 5)),
) -> dict[str, Any]:
    batch = {"mixed_volume": mixed_volume, "left_in_hose": left_in_hose, "price_per_litre": price_per_litre}
    uncertain = ("transfer_efficiency", "left_in_cup", "left_in_strainer", "left_in_wash")
    known = {argument: own.coefficient(argument) for argument in uncertain}
    account = overspray.budget.si(**batch, volume_solids=ANY_SOLIDS, **known)
    middle = float(account.paint_lost)
    given = {key: give(value, key) for key, value in batch.items()}
    moved, causes = {}, {}  # by argument, what moves it most first: paint lost, and the number moved
    for lever in overspray.what_changes_it(**given, volume_solids=ANY_SOLIDS, **known):
        ends = sorted(float(read(end, "paint_volume")) for end in (lever.lost_at_low, lever.lost_at_high))
        moved[lever.argument] = Band(ends[0], middle, ends[1])
        causes[lever.argument] = known[lever.argument]
    return {"lost": middle, "money": float(account.money_lost or 0), "moved": moved, "causes": causes}


def over(now: Now, argument: str) -> Figure:
    """The band of the number that is moved."""
    cause = now.causes[argument]
    return now.figure(cause.band, cause.name)


def label(now: Now, argument: str) -> str:
    return names()[now.causes[argument].name].label


@bench.says
def say(now: Now) -> str:
    first, *rest = now.moved
    money = f", {now.money:2} in your currency" if now.money > 0 else ""
    words = (
        f"Of {now.mixed_volume} about {now.lost:2} do not end on the panel{money}. What moves it most is "
        f"{label(now, first)}: over {over(now, first)} the loss goes from {now.moved[first]}."
    )
    others = " ".join(f"Then {label(now, argument)}: {now.moved[argument]}." for argument in rest)
    return f"{words} {others} What you measure yourself gets a shorter line." if others else words


@bench.draws
def draw(now: Now) -> Drawn:
    rows = [
        Lever(now.causes[argument].name, f"{label(now, argument)} {over(now, argument)}: lost {lost}", *ends(lost))
        for argument, lost in now.moved.items()
    ]
    axis = now.lost.axis(first_holding(AXES, now.mixed_volume), "paint lost")
    pinned = None if now.pinned is None else float(now.pinned.lost.shown)
    told = f"About {now.lost:2} lost; each bar: one number moved from end to end."
    return levers(rows, float(now.lost.shown), told, axis, pinned)


def ends(lost: Figure) -> tuple[float, float]:
    return float(lost.low.shown), float(lost.high.shown)
