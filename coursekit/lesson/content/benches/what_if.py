"""Two settings of the gun side by side: the wet film on the door, and where the paint went per gram that landed."""

from __future__ import annotations

from typing import Any

from coursekit import spraying
from coursekit.lesson.content.shared import one_coat
from coursekit.lesson.draw.map_pictures import Maps
from coursekit.lesson.draw.picture import Shares, Slice
from coursekit.lesson.learner import own
from coursekit.lesson.pins.pinned import PinBench, share_words
from coursekit.lesson.screen import page
from coursekit.lesson.workbench.bench import Drawn, Now, declare
from coursekit.spraying.choose import Compared, compared
from coursekit.uncertain import Band

SCALES = (60e-6, 120e-6, 240e-6, 600e-6, 2400e-6, 1e-2)  # m; the colours stay put until the next one is needed
BARS = (1.5, 2.0, 3.0, 5.0, 10.0, 100.0)  # sprayed over landed; so do the bars
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
    kept=one_coat.HIGH_AIR,
    recalculated=True,  # a measurement may have come in since it was kept
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


@bench.draws
def draw(now: Now) -> Drawn:
    job = one_coat.job(now.values)
    wet = Maps(
        [("one coat, wet", now.wet)],
        now.figure(0.0, "panel_width").axis(job["panel_width"], "along the panel"),
        now.figure(0.0, "panel_height").axis(job["panel_height"], "up the panel"),
        now.wet.axis(SCALES),
        740,
    )
    sprayed = now.coat.bands.sprayed.middle
    account = Shares(
        [(f"for 100 parts of solids that land, {100 * sprayed:.0f} are sprayed", slices(now))],
        740,
        next((end for end in BARS if end >= sprayed), BARS[-1]),
    )
    return [wet, account]


@bench.adds
def working(now: Now) -> page.Markup:
    carried = one_coat.mine(now.values["tip_bore"]).carried
    return page.folded(
        "Fan, passes, delivery and air at this setting", page.paragraph(" ".join((figures(now), *carried)))
    )


def slices(now: Now) -> list[Slice]:
    """Solids over those that landed: the middle as length, the band in words."""
    middle, bands = now.coat.middle.account.solids, now.coat.bands
    words = {
        "on masks": ("on_masks", "dots"),
        "past the edge": ("past_edge", "cross"),
        "mist that settles": ("settling", "level"),
        "mist in the air": ("airborne", "upright"),
    }
    return [
        Slice("lands", 1.0, "100", "slant"),
        *(
            Slice(label, float(getattr(middle, key) / middle.landed), parted(getattr(bands, key)), hatch)
            for label, (key, hatch) in words.items()
        ),
    ]


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
def against(now: Now, kept: Now) -> str:
    return f"Against the pinned one: {verdict(now, compared(now.coat.samples, kept.coat.samples))}"


def times(ratio: Band) -> str:
    return f"{ratio.low:.2g} to {ratio.high:.2g} times"


def verdict(now: Now, found: Compared) -> str:
    """The result, then the band, then how sure: the share of the guns that this one may be. Equal is called equal."""

    if found.same >= SURE:
        return "the same loss per part landed. Speed changes film and time, not what is lost."
    band = f"mist {times(found.mist)}, texture {times(found.texture)}"
    guns = "of the guns yours may be"
    if found.less_of_both >= SURE:
        return f"less mist and less past the edge in {share_words(found.less_of_both)} {guns}; {band}."
    least = 1 - max(found.less_mist, found.less_past_edge)
    if least >= SURE:
        return f"it loses more in {share_words(least)} {guns}; {band}."
    told = (
        f"less mist in {share_words(found.less_mist)}, less past the edge in {share_words(found.less_past_edge)} "
        f"{guns}; {band}"
    )
    return f"{told}. Measure your gun to decide." if 1 - SURE < found.less_mist < SURE else f"{told}."
