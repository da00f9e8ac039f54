"""Whether sanding gives its limit: demo repairs, a card and recipes at random, with more visits and smaller cells.

`python -m tests.benchmarks convergence` sums it up; `python -m tests.benchmarks.bench_convergence [recipes]` prints
every figure of every step: once, twice, four and eight times the visits, and cells of 5 and 3.5 mm; a replay takes no
wider ones. It takes a while: the finest runs cost sixteen times a usual replay each.
"""

import sys
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from coursekit import panel, repair
from coursekit.panel.state import share_of
from coursekit.repair.recipe import Recipe
from coursekit.repair.start import starting_panel
from coursekit.repair.steps import Spray
from tests.benchmarks.timing import Figure

FINER = (1, 2, 4, 8)
CELLS = ("5 mm", "3.5 mm")
RECIPES = 30
# From one setting to the next finer: what the figures may change by.
AREA, AREA_SHARE = 2e-4, 0.10
WAVE_SHARE, UNSEEN = 0.10, 0.1  # of a wave; of what a strict eye sees, below which a wave counts for nothing
LINE_SHARE = 0.05  # of the film sprayed
MEAN_SHARE = 0.02
CARD = """format = 2
title = "Test card"
[panel]
shape = "test card"
width = "420 mm"
height = "280 mm"
old_paint = "110 µm"
[panel.damage]
x = "140 mm"
y = "100 mm"
width = "120 mm"
height = "100 mm"
low = "0.6 mm"
[[step]]
do = "clean"
[[step]]
do = "fill"
proud = "0.1 mm"
ripple = "0.05 mm"
[[step]]
do = "wait"
time = "1 h"
[[step]]
do = "block"
paper = "P80"
force = "30 N"
strokes = 150
[[step]]
do = "spray"
material = "surfacer"
coats = 2
[[step]]
do = "wait"
time = "5 h"
[[step]]
do = "guide coat"
[[step]]
do = "block"
paper = "P320"
force = "20 N"
strokes = 200
"""
TOOLS = {
    "block": ("hand block", "long board", "stiff board", "foam block"),
    "hand sand": ("foam block", "soft pad"),
    "machine sand": ("machine pad", "machine soft pad"),
}


class Seen(NamedTuple):
    """What a sanding step left. Films in m; a wave in times of what a strict eye sees, by band from 30 mm up."""

    step: str
    through: float  # m²
    waves: tuple[float, ...]
    scratch: float
    guide: float
    line: float
    edges: float
    mean: float
    sprayed: float


def random_recipe(number: int) -> str:
    """A small repair drawn at random: shape, crown, tool, paper, force, direction, strokes, seed."""
    random = np.random.default_rng(number)
    shape = ("test card", "plain panel", "door")[number % 3]
    lined = 'line_height = "120 mm"\n' if shape == "door" else ""
    radius = random.choice((2, 3, 6, 10, 50), 2)
    steps = ""
    for material in ("filler", "surfacer"):
        do = str(random.choice(("block", "block", "hand sand", "machine sand")))
        tool = str(random.choice(TOOLS[do]))
        paper = random.choice(("P80", "P120", "P180") if material == "filler" else ("P240", "P320", "P400"))
        amount = (
            f'time = "{random.integers(20, 90)} s"'
            if do == "machine sand"
            else (
                f'strokes = {random.integers(40, 250)}\ndirection = "{random.choice(("along", "across", "cross"))}"'
            )
        )
        keep = 'keep_off = "10 mm"\n' if lined and random.random() < 0.5 else ""
        if material == "surfacer":
            steps += f'[[step]]\ndo = "spray"\nmaterial = "surfacer"\ncoats = {random.integers(1, 3)}\n'
            steps += '[[step]]\ndo = "wait"\ntime = "5 h"\n[[step]]\ndo = "guide coat"\n'
        steps += (
            f'[[step]]\ndo = "{do}"\ntool = "{tool}"\npaper = "{paper}"\n'
            f'force = "{random.integers(10, 40)} N"\n{amount}\n{keep}'
        )
    return f"""format = 2
title = "Drawn at random, {number}"
[panel]
shape = "{shape}"
width = "490 mm"
height = "350 mm"
radius_along = "{radius[0]} m"
radius_up = "{radius[1]} m"
{lined}[panel.damage]
x = "150 mm"
y = "150 mm"
width = "150 mm"
height = "100 mm"
low = "{random.uniform(0.3, 1):.2f} mm"
[hand]
variation = "0 %"
seed = {number}
[[step]]
do = "clean"
[[step]]
do = "fill"
proud = "{random.uniform(0.05, 0.2):.2f} mm"
ripple = "{random.uniform(0.02, 0.1):.2f} mm"
[[step]]
do = "wait"
time = "1 h"
{steps}"""


def texts(recipes: int = RECIPES) -> Iterator[tuple[str, str]]:
    """Name and text of every recipe of the study."""
    for name in ("door_repair", "impatient_repair"):
        yield name, repair.demo_path(name).read_text(encoding="utf-8")
    yield "test card", CARD
    for number in range(recipes):
        yield f"random {number}", random_recipe(number)


def played(recipe: Recipe, finer: float) -> list[Seen]:
    """What every sanding step leaves, with so many times the visits."""
    now, seen = starting_panel(recipe.panel), []
    sprayed = 110e-6
    for step in recipe.steps:
        before = now
        now, used = step.act(now, recipe, finer)
        if isinstance(step, Spray):
            sprayed = max(float(np.median(now.layers[-1].thickness[now.layers[-1].thickness > 5e-6])), 10e-6)
        if isinstance(used, panel.Sanded):
            seen.append(look(recipe, f"{step.number} {step.words}", before, now, sprayed))
    return seen


def look(recipe: Recipe, name: str, before: panel.Panel, now: panel.Panel, sprayed: float) -> Seen:
    """The figures of one step, in the repair."""
    area, top = recipe.repair_area, before.layers[-1].material
    waves = [wave.amplitude / wave.strict for wave in panel.waviness(now, area)[5:]]
    share = share_of(now, area)
    share /= share.sum()
    films = {
        kind: [
            section.thickness[1:].sum(axis=0).min(axis=1).mean()
            for section in now.sections
            if section.line.kind == kind
        ]
        or [0.0]
        for kind in ("body line", "edge")
    }
    return Seen(
        name,
        panel.broken_through(before, now, top).area,
        tuple(waves),
        float((now.scratch * share).sum()),
        panel.guide_left(now, area),
        float(np.mean(films["body line"])),
        float(np.mean(films["edge"])),
        float((now.film() * share).sum()),
        sprayed,
    )


def apart(one: Seen, other: Seen) -> dict[str, float]:
    """By how much two settings differ, in times of what they may."""
    waves = [abs(a - b) / max(WAVE_SHARE * max(a, b), UNSEEN) for a, b in zip(one.waves, other.waves, strict=True)]
    return {
        "through": abs(one.through - other.through) / max(AREA, AREA_SHARE * max(one.through, other.through)),
        "waves": max(waves),
        "scratch": abs(one.scratch - other.scratch) / max(0.10 * max(one.scratch, other.scratch), 1e-9),
        "guide": abs(one.guide - other.guide) / max(0.10 * max(one.guide, other.guide), 0.01),
        "line": abs(one.line - other.line) / (LINE_SHARE * one.sprayed),
        "edges": abs(one.edges - other.edges) / (LINE_SHARE * one.sprayed),
        "mean": abs(one.mean - other.mean) / (MEAN_SHARE * one.mean),
    }


def runs(text: str, finer: tuple[float, ...] = FINER, cells: tuple[str, ...] = CELLS) -> dict[str, list[Seen]]:
    """Every step at every setting."""
    recipe = repair.loads(text)
    found = {f"× {times:g}": played(recipe, times) for times in finer}
    found |= {cell: played(recipe.changed("panel", "cell", to=cell), 1.0) for cell in cells}
    return found


def pairs(found: dict[str, list[Seen]]) -> Iterator[tuple[str, list[dict[str, float]]]]:
    """Each setting beside the next finer one of its kind."""
    for kind in ("×", "mm"):
        names = [name for name in found if kind in name]
        for one, other in pairwise(names):
            yield f"{one} → {other}", [apart(a, b) for a, b in zip(found[one], found[other], strict=True)]


def row(seen: Seen) -> str:
    """One step in words."""
    waves = " ".join(f"{wave:5.2f}" for wave in seen.waves)
    return (
        f"through {seen.through * 1e4:6.1f} cm²  waves {waves}  scratch {seen.scratch * 1e6:5.2f}  "
        f"guide {seen.guide:4.2f}  line {seen.line * 1e6:6.1f}  edges {seen.edges * 1e6:6.1f}  "
        f"mean {seen.mean * 1e6:7.2f} µm"
    )


def figures() -> Iterator[Figure]:
    """The share of comparisons that hold, and the worst, over a few recipes."""
    for name, text in texts(6):
        worst: dict[str, float] = {}
        for _, steps in pairs(runs(text, FINER[:2], CELLS)):
            for step in steps:
                worst = {key: max(value, worst.get(key, 0.0)) for key, value in step.items()}
        yield Figure(f"{name}: change from one setting to the next, over what it may", max(worst.values()), "", 1.0)


def main(recipes: str = str(RECIPES)) -> None:
    """Print the whole table."""
    changes: dict[str, dict[str, list[float]]] = {}
    for name, text in texts(int(recipes)):
        found = runs(text)
        print(f"== {name}")
        for number, first in enumerate(found["× 1"]):
            print(f"   {first.step}")
            for setting, steps in found.items():
                print(f"      {setting:7} {row(steps[number])}")
        for pair, steps in pairs(found):
            for step in steps:
                for key, value in step.items():
                    changes.setdefault(pair, {}).setdefault(key, []).append(value)
            worst = {key: max(step[key] for step in steps) for key in steps[0]}
            bad = [f"{key} {value:.2f}" for key, value in worst.items() if value > 1]
            print(f"   {pair:18} {'; '.join(bad) or 'all within'}", flush=True)
    print("== all: share of the steps within, and the worst over what it may change by")
    for pair, kinds in changes.items():
        print(
            f"   {pair:18} "
            + "  ".join(
                f"{key} {np.mean(np.array(values) <= 1):.2f} / {max(values):.2f}" for key, values in kinds.items()
            )
        )


if __name__ == "__main__":
    main(*sys.argv[1:2])
