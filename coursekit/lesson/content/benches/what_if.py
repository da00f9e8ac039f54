"""Two settings of the gun side by side: the wet film on the door, and where the paint went per gram that landed."""

from __future__ import annotations

import functools

import numpy as np

from coursekit.belief import quantiles
from coursekit.lesson.content.shared import one_coat
from coursekit.lesson.content.shared.one_coat import Coat
from coursekit.lesson.draw.charts import Slice, shares
from coursekit.lesson.draw.colour_maps import TABLES, map_png, maps_picture
from coursekit.lesson.pins.pinned import PinBench
from coursekit.lesson.screen import page
from coursekit.lesson.workbench.bench import Now
from coursekit.spraying.choose import Compared, compared
from coursekit.uncertain import Band

SCALES = (60e-6, 120e-6, 240e-6, 600e-6, 2400e-6, 1e-2)  # m; the colours stay put until the next one is needed
BARS = (1.5, 2.0, 3.0, 5.0, 10.0, 100.0)  # sprayed over landed; so do the bars
SURE = 0.9


def compute(**setting: float) -> Coat:
    return one_coat.coat(setting)


def kept_coat(now: Now) -> Coat | None:
    """The kept setting with the gun as it is known now: a measurement may have come in since."""
    return one_coat.coat({key: now.kept[key] for key in now.values}) if now.kept else None


def draw(now: Now) -> str:
    kept = kept_coat(now)
    coats = [("now", now.result), *([("kept", kept)] if kept else [])]
    most = next(end for end in SCALES if end >= max(c.wet.max() for _, c in coats) or end == SCALES[-1])
    maps = [(f"{title}: one coat, wet", png(c, most)) for title, c in coats]
    job = one_coat.job(now.values)
    across = now.axis("panel_width", 0, job["panel_width"], "along the panel")
    up = now.axis("panel_height", 0, job["panel_height"], "up the panel")
    picture = maps_picture(maps, across, up, now.axis("wet_film", 0, most), TABLES["film"], now.words, 740)
    rows = [
        (f"{title}: for 100 parts of solids that land, {100 * c.bands.sprayed.middle:.0f} are sprayed", slices(c))
        for title, c in coats
    ]
    longest = max(c.bands.sprayed.middle for _, c in coats)
    bars = shares(rows, 740, next(end for end in BARS if end >= longest or end == BARS[-1]))
    return page.paragraph(figures(now)) + picture + bars


@functools.lru_cache(maxsize=1)
def last_pngs() -> dict[tuple[int, float], tuple[Coat, bytes]]:
    """Maps that were coded lately: the kept one stays the same while the other moves."""
    return {}


def png(coat: Coat, most: float) -> bytes:
    known = last_pngs()
    place = (id(coat), most)
    if place not in known:
        if len(known) > 8:
            known.clear()
        known[place] = (coat, map_png(coat.wet, 0, most, TABLES["film"]))  # held, so that its id stays its own
    return known[place][1]


def slices(coat: Coat) -> list[Slice]:
    """Solids over those that landed: the middle as length, the band in words."""
    middle, parts = coat.middle.account.solids, coat.bands
    words = {
        "on masks": ("on_masks", "dots"),
        "past the edge": ("past_edge", "cross"),
        "mist that settles": ("settling", "level"),
        "mist in the air": ("airborne", "upright"),
    }
    return [
        Slice("lands", 1.0, "100", "slant"),
        *(
            Slice(label, float(getattr(middle, key) / middle.landed), parted(getattr(parts, key)), hatch)
            for label, (key, hatch) in words.items()
        ),
    ]


def parted(ratio: Band) -> str:
    return f"{100 * ratio.low:.0f} to {100 * ratio.high:.0f}"


def figures(now: Now) -> str:
    """What the gun does at that setting, in one line above the picture."""
    coat = now.result
    keys = ("fluid_delivery", "air_use", "dry_spray")
    ends = quantiles(np.stack([np.broadcast_to(getattr(coat.samples, key), one_coat.DRAWS) for key in keys], axis=1))
    bands = (Band(*band) for band in zip(*(end.tolist() for end in ends), strict=True))
    told = dict(zip(keys, bands, strict=True))
    return (
        f"Fan {now.show(coat.middle.width, 'width')} wide at {now.text('gun_distance')}, "
        f"{coat.middle.passes:.0f} passes of {now.show(coat.middle.seconds_per_pass, 'pass_time', 2)}. Delivery "
        f"{now.show(told['fluid_delivery'], 'fluid_delivery')}, air {now.show(told['air_use'], 'air_use')}. "
        f"Of what lands, {now.show(told['dry_spray'], 'dry_spray')} is too dry to flow."
    )


def say(now: Now) -> str:
    middle, told = now.result.middle, now.result.bands
    film = f"One coat lays {now.show(middle.wet_film, 'wet_film', 2)} wet"
    if told.wet_film.high > 1.05 * told.wet_film.low:
        film += f" ({now.show(told.wet_film, 'wet_film')} with your gun)"
    return f"{film}. For 100 parts landed, {parted(told.mist)} become mist and {parted(told.missed)} miss the panel."


def against(now: Now) -> str:
    kept = kept_coat(now)
    assert kept is not None
    found = compared(now.result.samples, kept.samples)
    return f"Against the kept one: {verdict(now, found)}"


def times(ratio: Band) -> str:
    return f"{ratio.low:.2g} to {ratio.high:.2g} times"


def verdict(now: Now, found: Compared) -> str:
    """The result, then the band, then how sure: the share of the guns that this one may be. Equal is called equal."""
    if found.same >= SURE:
        return "the same loss per part landed. Speed changes film and time, not what is lost."
    mist, edge = (now.show(share, "sample_share", 2) for share in (found.less_mist, found.less_past_edge))
    band = f"mist {times(found.mist)}, texture {times(found.texture)}"
    guns = "of the guns yours may be"
    if found.less_of_both >= SURE:
        share = now.show(found.less_of_both, "sample_share", 2) if found.less_of_both < 1 else "all"
        return f"less mist and less past the edge in {share} {guns}; {band}."
    least = 1 - max(found.less_mist, found.less_past_edge)
    if least >= SURE:
        share = now.show(least, "sample_share", 2) if least < 1 else "all"
        return f"it loses more in {share} {guns}; {band}."
    told = f"less mist in {mist}, less past the edge in {edge} {guns}; {band}"
    return f"{told}. Measure your gun to decide." if 1 - SURE < found.less_mist < SURE else f"{told}."


bench = PinBench(
    title="What if I turned the air down?",
    controls={
        **one_coat.CONTROLS,
    },
    compute=compute,
    draw=draw,
    say=say,
    against=against,
    kept=one_coat.HIGH_AIR,
    beside=True,
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
