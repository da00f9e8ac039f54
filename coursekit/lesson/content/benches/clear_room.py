"""How long a room takes to clear once nothing more comes, and how long air-fed protection stays on at least."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import garage
from coursekit.garage.cautions import CLEARED, SHORTEST_WAIT
from coursekit.lesson.draw.picture import Chart, Line, Mark, Part, upright
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

SHARES = np.geomspace(1.0, 1e-3, 61)
AXES = (3600.0, 7200.0, 14400.0, 43200.0, 86400.0, 345600.0, 1209600.0)  # s; stays put until the next is needed


@declare(
    "Until the room has cleared",
    gives={
        "evenly": "purge_duration",  # time to each share, evenly mixed
        "yours": "purge_duration",
        "tenth": "purge_duration",
        "hundredth": "purge_duration",
        "again": garage.re_entry,
    },
    about="After the last pass, once nothing more is given off. A wet film, masking paper and rags go on giving off.",
    sources=["cdc-purge", "hse-clearance"],
    measurement="smoke_test",
)
def bench(air_changes: float = at("2 /h"), mixing_factor: float = at("4")) -> dict[str, Any]:
    tenth, hundredth = (float(garage.purge_time.si(air_changes, share, mixing_factor)) for share in (0.1, CLEARED))
    return {
        "evenly": garage.purge_time.si(air_changes, SHARES, 1.0),
        "yours": garage.purge_time.si(air_changes, SHARES, mixing_factor),
        "tenth": tenth,
        "hundredth": hundredth,
        "again": garage.re_entry.si(air_changes, mixing_factor),
    }


@bench.says
def say(now: Now) -> str:
    return (
        f"With {now.air_changes:.3g} air changes an hour and a mixing factor of {now.mixing_factor:g}, a tenth of "
        f"the vapour is still there after {now.tenth}, and a hundredth after {now.hundredth}. {now.again.words} A "
        "share of a great deal is still much: a hundredth is no level that anybody measured."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    shares = now.figure(SHARES, "remaining")
    since = now.yours.of(1.1 * now.again.wait).axis(AXES, "since the last vapour came")
    still = shares.axis(1.0, "still in the air")
    parts: list[Part] = [
        Line(now.yours, shares, "your mixing", pinned="pinned"),
        Line(now.evenly, shares, "evenly mixed", "dashed"),
        upright(now.yours.of(SHORTEST_WAIT), still, "half an hour"),
        Mark(now.yours.of(now.again.wait), shares.of(CLEARED), "protection stays on until here, at least"),
    ]
    return Chart(since, still, parts, height=350)
