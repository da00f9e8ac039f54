"""What goes into the mixing cup: by volume, and on the scale."""

from __future__ import annotations

from typing import NamedTuple

from coursekit import mixing
from coursekit.lesson.draw.charts import Slice, layers, shares, side_by_side
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.quantities import InputError

PARTS = ("paint", "hardener", "reducer")
HATCHES = ("slant", "dots", "level")
LARGEST_CUP = 0.6e-3  # m³; the axis stays put while the cup is not fuller


class Mix(NamedTuple):
    volumes: tuple[float, ...]
    fill_lines: tuple[float, ...]
    masses: tuple[float, ...]
    running_weights: tuple[float, ...]
    of_mix: tuple[float, ...]
    of_first: tuple[float, ...]


def compute(ratio: str, total: float, paint: float, hardener: float, reducer: float) -> Mix:
    share = mixing.shares.si(ratio)
    parts = len(share.of_mix)
    if parts > len(PARTS):
        raise InputError(
            "ratio", f'"{ratio}" has {parts} parts; this bench has room for three.', "mixing.batch takes more."
        )
    batch = mixing.batch.si(ratio, total, [paint, hardener, reducer][:parts])
    return Mix(batch.volumes, batch.fill_lines, batch.masses, batch.running_weights, share.of_mix, share.of_first)


def draw(now: Now) -> str:
    columns = [("this mix", cup(now))]
    if now.kept:
        columns.append(("kept", cup(now.kept)))
    fullest = max([LARGEST_CUP, *(n["total"] for n in (now, now.kept) if n)])
    filled = layers(now.axis("part_volume", 0, fullest, "in the cup"), columns, 250 + 150 * len(columns))
    weight = sum(now.result.masses)
    rows = [
        ("share by volume", slices(now, now.result.of_mix)),
        ("share by weight", slices(now, tuple(mass / weight for mass in now.result.masses))),
    ]
    return side_by_side(filled, shares(rows, 400))


def cup(now: Now) -> list[Slice]:
    return [
        Slice(
            f"{part} to {now.show(line, 'part_volume')}",
            now.number(volume, "part_volume"),
            f"scale {now.show(weight, 'part_mass')}",
            hatch,
        )
        for part, line, volume, weight, hatch in zip(
            PARTS, now.result.fill_lines, now.result.volumes, now.result.running_weights, HATCHES, strict=False
        )
    ]


def slices(now: Now, sizes: tuple[float, ...]) -> list[Slice]:
    return [
        Slice(part, size, now.show(size, "part_share"), hatch)
        for part, size, hatch in zip(PARTS, sizes, HATCHES, strict=False)
    ]


def say(now: Now) -> str:
    mix = now.result
    steps = [
        f"{part} to {now.show(line, 'part_volume')} (the scale shows {now.show(weight, 'part_mass')})"
        for part, line, weight in zip(PARTS, mix.fill_lines, mix.running_weights, strict=False)
    ]
    words = f"For {now.text('total')} of {now.text('ratio')}, with the scale set to zero under the empty cup: fill "
    words += ", then ".join(steps) + "."
    if len(mix.volumes) > 1:
        words += (
            f" The hardener is {now.show(mix.of_first[1], 'part_share')} of the paint, but "
            f"{now.show(mix.of_mix[1], 'part_share')} of the mix."
        )
    return words


def density(start: str, part: str) -> Control:
    return Control(start, name="density", label=f"density of the {part}")


bench = Bench(
    title="What goes into the cup",
    about="Type the ratio as your sheet writes it: 4:1:1, or 2:1 +10 %. Densities stand on the data sheets; these "
    "are those of the invented demo surfacer.",
    controls={
        "ratio": "4:1:1",
        "total": "300 mL",
        "paint": density("1.40 kg/L", "paint"),
        "hardener": density("1.05 kg/L", "hardener"),
        "reducer": density("0.87 kg/L", "reducer"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["parts-arithmetic", "common-practice"],
)
