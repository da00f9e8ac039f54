"""Two settings of the gun side by side: the wet film on the door, and where the paint went per gram that landed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from coursekit import spraying
from coursekit.figure import Axis, first_holding
from coursekit.lesson.content.shared import one_coat
from coursekit.lesson.content.shared.one_coat import Coat
from coursekit.lesson.draw.mirrored import Sides, SplitMap, mirrored
from coursekit.lesson.draw.picture import Chart, Line, Picture, Row
from coursekit.lesson.learner import own
from coursekit.lesson.pins.pinned import PinBench, share_words
from coursekit.lesson.screen import page
from coursekit.lesson.workbench.bench import Drawn, Now, declare
from coursekit.nomenclature import System
from coursekit.spraying.choose import Compared, compared
from coursekit.uncertain import Band

SCALES = (60e-6, 90e-6, 120e-6, 240e-6, 600e-6, 2400e-6, 1e-2)  # m; the colours stay put until the next one is needed
BARS = (40.0, 80.0, 160.0, 400.0, 1000.0, 10_000.0)  # parts lost for 100 landed; so do the bars
SURE = 0.9
TOLD = ("fluid_delivery", "air_use", "dry_spray", "duty")


@declare(
    "What if I turned the air down?",
    kind=PinBench,
    controls=one_coat.CONTROLS,
    gives={
        "middle": spraying.spray_setting,
        "laid": "wet_film",
        "wet": "wet_film",
        "told": dict(zip(TOLD, TOLD, strict=True)),
    },
    pinned={**one_coat.HIGH_AIR, "gun_inlet_pressure": "2 bar (30 psi)"},
    recalculated=True,  # a measurement may have come in since it was pinned
    sources=[
        *one_coat.UNCERTAIN,
        "impactor-notes",
        "transfer-trials",
        "moving-bell",
        "random-landing",
        "common-practice",
    ],
    measurement="turns",
)
def bench(**setting: float) -> dict[str, Any]:
    coat = one_coat.coat(setting)
    return {
        "coat": coat,
        "middle": coat.middle,
        "laid": coat.bands.wet_film,
        "wet": coat.wet,
        "told": {key: getattr(coat.bands, key) for key in TOLD},
    }


@bench.says
def say(now: Now) -> str:
    bands = now.coat.bands
    film = f"One coat lays {now.middle.wet_film:2} wet"
    if now.laid.high > 1.05 * now.laid.low:
        film += f" ({now.laid} with your gun)"
    return (
        f"{film}. For 100 parts landed, {parted(bands.mist)} become mist and {parted(bands.missed)} miss the panel."
    )


def parted(ratio: Band) -> str:
    return f"{100 * ratio.low:.0f} to {100 * ratio.high:.0f}"


@dataclass(frozen=True)
class Lost(Picture):
    """What did not land, for 100 parts that did: of both settings, and in how many guns the present loses less."""

    coat: Coat
    pinned: Coat | None = None

    def markup(self, words: str, system: System) -> str:
        told = {"mist": "", "missed": ""}
        if self.pinned:
            found = compared(self.coat.samples, self.pinned.samples)
            told = {
                key: "the same" if found.same >= SURE else less(share)
                for key, share in (("mist", found.less_mist), ("missed", found.less_past_edge))
            }
        rows = [
            Sides(
                label,
                hundred(getattr(self.coat.bands, key)),
                hundred(getattr(self.pinned.bands, key)) if self.pinned else None,
                told[key],
            )
            for key, label in (("mist", "mist"), ("missed", "misses the panel"))
        ]
        ends = [end.high for row in rows for end in (row.now, row.pinned) if end]
        # Room for the words at the end of the longest bar.
        return mirrored(rows, Axis("parts lost for 100 that land", 0, first_holding(BARS, 1.3 * max(ends))))

    def joined(self, pinned: Lost) -> Lost:
        return replace(self, pinned=pinned.coat)


def hundred(ratio: Band) -> Band:
    return Band(*(100 * end for end in ratio))


def less(share: float) -> str:
    guns = "of the guns yours may be"
    if share >= 0.5:
        return f"less now in {share_words(share)} {guns}"
    return f"more now in {share_words(1 - share)} {guns}"


@bench.draws
def draw(now: Now) -> Drawn:
    job = one_coat.job(now.values)
    across = now.figure(0.0, "panel_width").axis(job["panel_width"], "along the panel")
    up = now.figure(0.0, "panel_height").axis(job["panel_height"], "up the panel")
    film = now.wet.axis(SCALES)
    column = now.wet[:, now.wet.si.shape[1] // 2]
    height = now.figure(np.linspace(0, job["panel_height"], len(column)), "panel_height")
    section = Chart(film, up, [Line(column, height, "now", pinned="pinned")], 300, 232)
    return [Row(SplitMap(now.wet, across, up, film), section), Lost(now.coat)]


@bench.adds
def working(now: Now) -> page.Markup:
    carried = one_coat.mine(now.values["tip_bore"]).carried
    return page.folded(
        "Fan, passes, delivery and air at this setting", page.paragraph(" ".join((figures(now), *carried)))
    )


def figures(now: Now) -> str:
    """What the gun does at that setting, in one line under the picture."""
    middle = now.middle
    whose = (
        "your compressor" if own.is_measured(one_coat.COMPRESSOR) else "a garage compressor (yours is not measured)"
    )
    return (
        f"Fan {middle.width} wide at {now.gun_distance}, {middle.passes:.0f} passes of {middle.seconds_per_pass:2}. "
        f"Delivery {now.told['fluid_delivery']}, air {now.told['air_use']}: {now.told['duty']} of what "
        f"{whose} gives. Of what lands, {now.told['dry_spray']} is too dry to flow."
    )


@bench.compares
def against(now: Now, pinned: Now) -> str:
    return f"Against the pinned one: {verdict(compared(now.coat.samples, pinned.coat.samples))}"


def times(ratio: Band) -> str:
    return f"{ratio.low:.2g} to {ratio.high:.2g} times"


def verdict(found: Compared) -> str:
    """The result, then the band, then how sure: the share of the guns that this one may be. Equal is called equal."""
    if found.same >= SURE:
        return "the same loss per part landed. Speed changes film and time, not what is lost."
    band = f"Mist {times(found.mist)}, texture {times(found.texture)}"
    guns = "of the guns yours may be"
    if found.less_of_both >= SURE:
        return f"less mist and less past the edge in {share_words(found.less_of_both)} {guns}. {band}."
    more = 1 - (found.less_mist + found.less_past_edge - found.less_of_both)  # in which neither is less
    if more >= SURE:
        return f"it loses more in {share_words(more)} {guns}. {band}."
    told = (
        f"less mist in {share_words(found.less_mist)}, less past the edge in {share_words(found.less_past_edge)} "
        f"{guns}. {band}"
    )
    return f"{told}. Measure your gun to decide." if 1 - SURE < found.less_mist < SURE else f"{told}."
