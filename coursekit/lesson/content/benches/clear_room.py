"""How long a room takes to clear once nothing more comes, and how long air-fed protection stays on at least."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import garage
from coursekit.garage.cautions import CLEARED, SHORTEST_WAIT
from coursekit.lesson.draw.charts import Line, Mark, Part, chart
from coursekit.lesson.workbench.bench import Bench, Now

SHARES = np.geomspace(1.0, 1e-3, 61)
AXES = (3600.0, 7200.0, 14400.0, 43200.0, 86400.0, 345600.0, 1209600.0)  # s; stays put until the next is needed


class Found(NamedTuple):
    evenly: np.ndarray  # time to each share, evenly mixed
    yours: np.ndarray
    tenth: float
    hundredth: float
    again: garage.ReEntry


def compute(air_changes: float, mixing_factor: float) -> Found:
    evenly = garage.purge_time.si(air_changes, SHARES, 1.0)
    yours = garage.purge_time.si(air_changes, SHARES, mixing_factor)
    tenth, hundredth = (float(garage.purge_time.si(air_changes, share, mixing_factor)) for share in (0.1, CLEARED))
    return Found(evenly, yours, tenth, hundredth, garage.re_entry.si(air_changes, mixing_factor))


def draw(now: Now) -> str:
    found = now.result
    longest = max(float(n.result.again.wait) for n in (now, now.kept) if n)
    most = next((end for end in AXES if end >= 1.1 * longest), AXES[-1])
    share = now.number(SHARES, "remaining")
    wait, half_hour = (now.number(value, "wait") for value in (float(found.again.wait), SHORTEST_WAIT))
    parts: list[Part] = [
        Line(now.number(found.yours, "purge_duration"), share, "your mixing"),
        Line(now.number(found.evenly, "purge_duration"), share, "evenly mixed", "dashed"),
        Line([half_hour, half_hour], [0, 100], "half an hour", "dotted"),
        Mark(wait, now.number(CLEARED, "remaining"), "protection stays on until here, at least"),
    ]
    if now.kept:
        parts.append(Line(now.number(now.kept.result.yours, "purge_duration"), share, "kept", "dash-dot"))
    return chart(
        now.axis("purge_duration", 0, most, "since the last vapour came"),
        now.axis("remaining", 0, 1, "still in the air"),
        parts,
        760,
        350,
    )


def say(now: Now) -> str:
    found = now.result
    return (
        f"With {now.number(now['air_changes'], 'air_changes'):.3g} air changes an hour and a mixing factor of "
        f"{now['mixing_factor']:g}, a tenth of the vapour is still there after "
        f"{now.show(found.tenth, 'purge_duration')}, and a hundredth after "
        f"{now.show(found.hundredth, 'purge_duration')}. {found.again.words} A share of a great deal is still "
        "much: a hundredth is no level that anybody measured."
    )


bench = Bench(
    title="Until the room has cleared",
    about="After the last pass, once nothing more is given off. A wet film, masking paper and rags go on giving off.",
    controls={"air_changes": "2 /h", "mixing_factor": "4"},
    compute=compute,
    draw=draw,
    say=say,
    sources=["cdc-purge", "hse-clearance"],
    measurement="smoke_test",
)
