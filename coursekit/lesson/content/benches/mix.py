"""What goes into the mixing cup: by volume, and on the scale."""

from __future__ import annotations

from typing import Any

from coursekit import mixing
from coursekit.lesson.content.shared.parts import PARTS
from coursekit.lesson.draw.picture import Layers, Shares, Slice
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.quantities import InputError

HATCHES = ("slant", "dots", "level")
LARGEST_CUP = 0.6e-3  # m³; the axis stays put while the cup is not fuller


@declare(
    "What goes into the cup",
    gives={
        "volumes": "part_volume",
        "fill_lines": "part_volume",
        "running_weights": "part_mass",
        "of_mix": "part_share",
        "of_first": "part_share",
        "by_weight": "part_share",
    },
    about="Type the ratio as your sheet writes it: 4:1:1, or 2:1 +10 %. Densities stand on the data sheets; these "
    "are those of the invented demo surfacer.",
    sources=["parts-arithmetic", "common-practice"],
)
def bench(
    ratio: str = at("4:1:1"),
    total: float = at("300 mL"),
    paint: float = at("1.40 kg/L", name="density", label="density of the paint"),
    hardener: float = at("1.05 kg/L", name="density", label="density of the hardener"),
    reducer: float = at("0.87 kg/L", name="density", label="density of the reducer"),
) -> dict[str, Any]:
    share = mixing.shares.si(ratio)
    parts = len(share.of_mix)
    if parts > len(PARTS):
        raise InputError(
            "ratio", f'"{ratio}" has {parts} parts; this bench has room for three.', "mixing.batch takes more."
        )
    batch = mixing.batch.si(ratio, total, [paint, hardener, reducer][:parts])
    weight = sum(batch.masses)
    return {
        "volumes": batch.volumes,
        "fill_lines": batch.fill_lines,
        "running_weights": batch.running_weights,
        "of_mix": share.of_mix,
        "of_first": share.of_first,
        "by_weight": tuple(mass / weight for mass in batch.masses),
    }


@bench.says
def say(now: Now) -> str:
    steps = [
        f"{part} to {line}: the scale shows {weight}."
        for part, line, weight in zip(PARTS, now.fill_lines, now.running_weights, strict=False)
    ]
    words = f"For {now.total} of {now.ratio}, set the scale to zero under the empty cup. Fill "
    words += " Then ".join(steps)
    if len(now.volumes) > 1:
        words += f" The hardener is {now.of_first[1]} of the paint, but {now.of_mix[1]} of the mix."
    return words


@bench.draws
def draw(now: Now) -> Drawn:
    cup = [
        Slice(f"{part} to {line}", volume, f"scale {weight}", hatch)
        for part, line, volume, weight, hatch in zip(
            PARTS, now.fill_lines, now.volumes, now.running_weights, HATCHES, strict=False
        )
    ]
    rows = [
        (title, [Slice(part, size, hatch=hatch) for part, size, hatch in zip(PARTS, sizes, HATCHES, strict=False)])
        for title, sizes in (("share by volume", now.of_mix), ("share by weight", now.by_weight))
    ]
    axis = now.fill_lines[0].axis(max(LARGEST_CUP, now.total.si), "in the cup")
    return [Layers(axis, [("this mix", cup)], 400, 240), Shares(rows, 560, alone=True)]
