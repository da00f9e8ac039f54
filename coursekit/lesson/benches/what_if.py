"""Two settings of the gun side by side: the wet film on the door, and where the paint went per gram that landed."""

from __future__ import annotations

import functools

from coursekit.lesson import whatif
from coursekit.lesson.bench import Bench, Control, Now
from coursekit.lesson.drawings import Slice, shares
from coursekit.lesson.pictures import TABLES, map_png, maps_picture
from coursekit.lesson.whatif import Coat
from coursekit.spraying.choose import Compared, compared
from coursekit.uncertain import Band

SCALES = (60e-6, 120e-6, 240e-6, 600e-6, 2400e-6, 1e-2)  # m; the colours stay put until the next one is needed
BARS = (1.5, 2.0, 3.0, 5.0, 10.0, 100.0)  # sprayed over landed; so do the bars
SURE = 0.9


def compute(**setting: float) -> Coat:
    return whatif.coat(setting)


def kept_coat(now: Now) -> Coat | None:
    """The kept setting with the gun as it is known now: a measurement may have come in since."""
    return whatif.coat({key: now.kept[key] for key in now.values}) if now.kept else None


def draw(now: Now) -> str:
    kept = kept_coat(now)
    coats = [("now", now.result), *([("kept", kept)] if kept else [])]
    most = next(end for end in SCALES if end >= max(c.wet.max() for _, c in coats) or end == SCALES[-1])
    maps = [(f"{title}: one coat, wet", png(c, most)) for title, c in coats]
    across = now.axis("panel_width", 0, whatif.WIDTH, "along the door")
    up = now.axis("panel_height", 0, whatif.HEIGHT, "up the door")
    picture = maps_picture(maps, across, up, now.axis("wet_film", 0, most), TABLES["film"], now.words, 740)
    rows = [(f"{title}: for 100 parts of solids that land, {100 * c.bands.sprayed.middle:.0f} are sprayed", slices(c))
            for title, c in coats]  # fmt: skip
    longest = max(c.bands.sprayed.middle for _, c in coats)
    return picture + shares(rows, 740, next(end for end in BARS if end >= longest or end == BARS[-1]))


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
    words = {"on masks": ("on_masks", "dots"), "past the edge": ("past_edge", "cross"),
             "mist that settles": ("settling", "level"), "mist in the air": ("airborne", "upright")}  # fmt: skip
    return [Slice("lands", 1.0, "100", "slant"),
            *(Slice(label, float(getattr(middle, key) / middle.landed), parted(getattr(parts, key)), hatch)
              for label, (key, hatch) in words.items())]  # fmt: skip


def parted(ratio: Band) -> str:
    return f"{100 * ratio.low:.0f} to {100 * ratio.high:.0f}"


def say(now: Now) -> str:
    middle, told = now.result.middle, now.result.bands
    words = f"One coat, {middle.passes:.0f} passes of {now.show(middle.seconds_per_pass, 'pass_time', 2)}, lays "
    words += f"{now.show(middle.wet_film, 'wet_film', 2)} wet"
    if told.wet_film.high > 1.05 * told.wet_film.low:
        words += f" ({now.show(told.wet_film, 'wet_film')} as well as your gun is known)"
    return (f"{words}, which dries to {now.show(middle.dry_film, 'dry_film', 2)}. For 100 parts that land, "
            f"{parted(told.mist)} become mist and {parted(told.missed)} miss the panel.")  # fmt: skip


def against(now: Now) -> str:
    kept = kept_coat(now)
    assert kept is not None
    found = compared(now.result.samples, kept.samples)
    return (f"Against the kept one, per gram landed and at equal dry film: {verdict(now, found)} "
            f"Mist {times(found.mist)}, past the edge {times(found.past_edge)}; passes {times(found.passes)}, "
            f"texture {times(found.texture)}.")  # fmt: skip


def times(ratio: Band) -> str:
    return f"{ratio.low:.2g} to {ratio.high:.2g} times"


def verdict(now: Now, found: Compared) -> str:
    """In how many of the guns that this one may be it holds: the share is always told."""
    both = now.show(found.less_of_both, "sample_share", 2)
    guns = f"of {whatif.DRAWS} guns that yours may be"
    if found.less_of_both == 1:
        return f"less mist and less past the edge in all {guns}."
    if found.less_of_both >= SURE:
        return f"less mist and less past the edge in {both} {guns}."
    mist, edge = (now.show(share, "sample_share", 2) for share in (found.less_mist, found.less_past_edge))
    told = f"less mist in {mist}, less past the edge in {edge}, both in {both} {guns}"
    if max(found.less_mist, found.less_past_edge) <= 1 - SURE:
        return f"{told}: it loses more."
    return f"{told}: it cannot be told until the gun is measured." if found.less_mist < SURE else f"{told}."


bench = Bench(
    title="What if I turned the air down?",
    controls={
        **whatif.CONTROLS,
        "kinematic_viscosity": Control("60 mm²/s", label="paint by the cup"),
        "volume_solids": Control("42 %", label="solids as sprayed"),
    },
    compute=compute,
    draw=draw,
    say=say,
    against=against,
    kept=whatif.HIGH_AIR,
    beside=True,
    sources=[*whatif.UNCERTAIN, "impactor-notes", "transfer-trials", "moving-bell", "random-landing",
             "common-practice"],
    measurement="turns",
)  # fmt: skip
