"""What changes the loss: each uncertain number moved from end to end, all others held."""

from __future__ import annotations

from typing import NamedTuple

from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.nomenclature import names
from coursekit.quantities import give, read
from coursekit.spraying import overspray
from coursekit.uncertain import Band, Coefficient

ANY_SOLIDS = 0.4  # paint lost is counted as it was mixed, whatever its solids
AXES = [50e-6 * 2**n for n in range(10)]  # m³


class Moved(NamedTuple):
    """One number: its own band, and the paint lost at both ends, the smaller first."""

    argument: str
    name: str
    low: float
    high: float
    lost: Band


class Levers(NamedTuple):
    lost: float
    money: float
    moved: list[Moved]


def compute(**batch: float) -> Levers:
    known: dict[str, Coefficient] = {
        argument: own.coefficient(argument)
        for argument in ("transfer_efficiency", "left_in_cup", "left_in_strainer", "left_in_wash")
    }
    account = overspray.budget.si(**batch, volume_solids=ANY_SOLIDS, **known)
    middle = float(account.paint_lost)
    given = {key: give(value, key) for key, value in batch.items()}
    moved = []
    for lever in overspray.what_changes_it(**given, volume_solids=ANY_SOLIDS, **known):
        number = known[lever.argument]
        ends = sorted(float(read(end, "paint_volume")) for end in (lever.lost_at_low, lever.lost_at_high))
        moved.append(Moved(lever.argument, number.name, number.low, number.high, Band(ends[0], middle, ends[1])))
    return Levers(middle, float(account.money_lost or 0), moved)


def draw(now: Now) -> str:
    rows = [bar(now, one) for one in now.result.moved]
    if now.kept:
        rows += [bar(now.kept, one, "kept, ") for one in now.kept.result.moved[:1]]
    most = max(n["mixed_volume"] for n in (now, now.kept) if n)
    end = next((end for end in AXES if end >= most), 1.1 * most)
    return bars(now.axis("paint_volume", 0, end, "paint lost").label, rows, now.number(end, "paint_volume"))


def bar(now: Now, one: Moved, before: str = "") -> Bar:
    band = now.number(one.lost, "paint_volume")
    label = f"{before}{names()[one.name].label} {now.show(Band(one.low, one.low, one.high), one.name)}"
    return Bar(label, band.middle, f"lost {now.show(one.lost, 'paint_volume')}", "slant", band.low, band.high)


def say(now: Now) -> str:
    first, *rest = now.result.moved
    money = f", {now.show(now.result.money, 'money', 2)} of your money" if now.result.money > 0 else ""
    words = (
        f"Of {now.text('mixed_volume')} about {now.show(now.result.lost, 'paint_volume', 2)} do not end on the "
        f"panel{money}. What moves it most is {names()[first.name].label}: over {band(now, first)} the loss goes "
        f"from {now.show(first.lost, 'paint_volume')}."
    )
    others = "; ".join(f"{names()[one.name].label}, {now.show(one.lost, 'paint_volume')}" for one in rest)
    return f"{words} Less is moved by: {others}. What you measure yourself gets a shorter line." if others else words


def band(now: Now, one: Moved) -> str:
    return now.show(Band(one.low, one.low, one.high), one.name)


bench = Bench(
    title="What changes the loss",
    about="Each bar: the paint lost, and how far it moves when that one number alone goes from low to high.",
    controls={
        "mixed_volume": "300 mL",
        "left_in_hose": Control("0 mL", label="left in a fluid hose, if there is one"),
        "price_per_litre": Control("40", label="price of a litre, in your money", slider=(0, 200, 5)),
    },
    compute=compute,
    draw=draw,
    say=say,
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
