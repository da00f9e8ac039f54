"""What an air hose loses, bore by bore, as the pair of laws that brackets a real one."""

from __future__ import annotations

from typing import Any

from coursekit import spraying
from coursekit.lesson.draw.picture import Bar, Bars
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.quantities import InputError
from coursekit.uncertain import Band

BORES = {6.35e-3: "1/4 in", 7.94e-3: "5/16 in", 9.53e-3: "3/8 in", 12.7e-3: "1/2 in"}  # m, and as US shops call them


def loss(flow: float, length: float, bore: float, inlet_pressure: float, couplers: float) -> Band | None:
    """None where the hose cannot carry the flow."""
    try:
        found = spraying.hose_loss.si(flow, length, bore, inlet_pressure, couplers)
    except InputError:
        return None
    return Band(found.smooth, found.smooth, found.high)


@declare(
    "Pressure lost in the hose",
    gives={"lost": "pressure_loss"},
    about="From a smooth hose to the makers' rule for real ones. Pressure at the wall with the air flowing.",
    sources=["coupler_length", "hose-friction", "hose-empirical", "hose-maker-figure"],
    measurement="gauge",
)
def bench(
    flow: float = at("250 L/min", label="free air that flows"),
    length: float = at("10 m"),
    inlet_pressure: float = at("2.5 bar", start_us="35 psi", label="regulator at the wall"),
    couplers: float = at("2"),
) -> dict[str, Any]:
    return {"lost": {bore: loss(flow, length, bore, inlet_pressure, couplers) for bore in BORES}}


def size(now: Now, bore: float) -> str:
    return f"{now.figure(bore, 'bore'):2}" if now.system == "metric" else BORES[bore]


def lost_words(band: Any) -> str:
    return f"{band.low:2}".rpartition(" ")[0] + f" to {band.high:2}"


@bench.says
def say(now: Now) -> str:
    bores = list(BORES)
    narrow, wide = now.lost[bores[0]], now.lost[bores[2]]
    sizes = [size(now, bore) for bore in bores]
    told = (
        f"a hose of {sizes[0]} loses {lost_words(narrow)}"
        if narrow is not None
        else f"a hose of {sizes[0]} cannot carry that much air at all"
    )
    one_more = wide is not None
    told += f", one of {sizes[2]} loses {lost_words(wide)}. " if one_more else f", nor can one of {sizes[2]}. "
    return (
        f"{now.flow} of free air goes through {now.length} with {now.couplers:g} couplers, {now.inlet_pressure} at "
        f"the wall. {told[0].upper()}{told[1:]}The loss falls with about the fifth power of the bore, and a coupler "
        f"costs as much as {now.length.of(Band(1.0, 2.0, 3.0)):2} of hose. You do not see the "
        "loss: the wall gauge still shows its setting. Read at the gun, trigger pulled."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    rows = []
    for bore, band in now.lost.items():
        name = f"{size(now, bore)} bore"
        if band is None:
            cannot = f"{name}: cannot carry that much air"
            rows.append(Bar(cannot, 0, pinned=f"pinned: {cannot}"))
        else:
            rows.append(Bar(name, band, lost_words(band), "slant", pinned=f"pinned: {name}"))
    axis = now.figure(0.0, "pressure_loss").axis(now.inlet_pressure.si, "pressure lost on the way")
    return Bars(axis._replace(label=f"{axis.label}; the axis ends at what the regulator gives"), rows)
