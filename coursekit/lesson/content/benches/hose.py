"""What an air hose loses, bore by bore, as the pair of laws that brackets a real one."""

from __future__ import annotations

from typing import NamedTuple

from coursekit import spraying
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.quantities import InputError
from coursekit.spraying.air_supply import HoseLoss
from coursekit.uncertain import Band

BORES = (6.35e-3, 7.94e-3, 9.53e-3, 12.7e-3)  # m, 1/4 to 1/2 in
INCHES = ("1/4 in", "5/16 in", "3/8 in", "1/2 in")


class Losses(NamedTuple):
    bores: tuple[HoseLoss | None, ...]  # None where the hose cannot carry the flow


def compute(flow: float, length: float, inlet_pressure: float, couplers: float) -> Losses:
    return Losses(tuple(loss(flow, length, bore, inlet_pressure, couplers) for bore in BORES))


def loss(flow: float, length: float, bore: float, inlet_pressure: float, couplers: float) -> HoseLoss | None:
    try:
        found: HoseLoss = spraying.hose_loss.si(flow, length, bore, inlet_pressure, couplers)
    except InputError:
        return None
    return found


def draw(now: Now) -> str:
    rows = [bar(now, number, "slant") for number in range(len(BORES))]
    if now.kept:
        rows += [bar(now.kept, number, "dots", "kept: ") for number in range(len(BORES))]
    label = now.axis("pressure_loss", 0, now["inlet_pressure"], "pressure lost on the way").label
    longest = max(n["inlet_pressure"] for n in (now, now.kept) if n)
    return bars(f"{label}; the axis ends at what the regulator gives", rows, now.number(longest, "pressure_loss"))


def bar(now: Now, number: int, hatch: str, before: str = "") -> Bar:
    name = f"{before}{now.show(BORES[number], 'bore', 2) if now.system == 'metric' else INCHES[number]} bore"
    found = now.result.bores[number]
    if found is None:
        return Bar(f"{name}: cannot carry that much air", 0)
    low, high = now.number(found.smooth, "pressure_loss"), now.number(found.high, "pressure_loss")
    return Bar(name, low, words(now, found), hatch, low, high)


def words(now: Now, found: HoseLoss) -> str:
    low = now.show(found.smooth, "pressure_loss", 2)
    return f"{low.rpartition(' ')[0]} to {now.show(found.high, 'pressure_loss', 2)}"


def say(now: Now) -> str:
    narrow, wide = now.result.bores[0], now.result.bores[2]
    sizes = [
        now.show(bore, "bore", 2) if now.system == "metric" else inch
        for bore, inch in zip(BORES, INCHES, strict=True)
    ]
    told = (
        f"a hose of {sizes[0]} loses {words(now, narrow)}"
        if narrow
        else f"a hose of {sizes[0]} cannot carry that much air at all"
    )
    told += f", one of {sizes[2]} loses {words(now, wide)}. " if wide else f", nor can one of {sizes[2]}. "
    return (
        f"{now.text('flow')} of free air through {now.text('length')} with {now['couplers']:g} couplers, "
        f"{now.text('inlet_pressure')} at the wall: {told}The loss falls with about the fifth power of the bore, and "
        f"a coupler costs as much as {now.show(Band(1.0, 2.0, 3.0), 'length', 1)} of hose. You do not see the loss: "
        "the wall gauge still shows its setting. Read at the gun, trigger pulled."
    )


bench = Bench(
    title="What the hose keeps for itself",
    about="From a smooth hose to the makers' rule for real ones. Pressure at the wall with the air flowing.",
    controls={
        "flow": Control("250 L/min", label="free air that flows"),
        "length": "10 m",
        "inlet_pressure": Control("2.5 bar", label="regulator at the wall"),
        "couplers": "2",
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["coupler_length", "hose-friction", "hose-empirical", "hose-maker-figure"],
    measurement="gauge",
)
