"""A proposal against random variations of it, and its time: `python -m tests.benchmarks.bench_proposal DAMAGE 200`.

A variation changes one to four numbers of the plan, within the rules for films, coats and papers: strokes, papers,
forces, coats, how the gun is set and moved, how far areas reach, flash and waits. Those that take less, by the plan's
own measure, are played exactly and by the hands that judged the plan: how many hold as well, and by how much less?
A variation whose waits end before a film that dries slowly is ready is counted by itself: the plan waits for that
one, and a replay does not stray it.

`python -m tests.benchmarks.bench_proposal demo` sets what is proposed for the demo's damage beside the demo's recipe.
"""

from __future__ import annotations

import copy
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np

from coursekit.quantities import InputError
from coursekit.repair import Proposal, damage, propose
from coursekit.repair.planned import HOLDING, Plan, against, figures_of
from coursekit.repair.playing import replay
from coursekit.repair.proposing import Search
from coursekit.repair.recipe import Recipe, demo_path, from_document, load, with_hand
from coursekit.repair.rules import rules
from coursekit.repair.steps import Spray
from coursekit.tomlfile import Document
from tests.benchmarks.timing import Figure
from tests.damages import DAMAGES, HEAD

CLEAR = 0.002  # by so much less a variation must take to be better: a few seconds in an hour
SPREADS = {  # number of a step → how far it strays, in the logarithm
    "strokes": 0.3,
    "force": 0.15,
    "gun_speed": 0.15,
    "fluid_delivery": 0.15,
    "pitch": 0.2,
    "fan_width": 0.15,
    "proud": 0.2,
    "wider": 0.4,
    "keep_off": 0.4,
    "flash": 0.3,
    "time": 0.3,
}
RULES = {"epoxy primer": "primer"}
DRYING = ("flash", "time")


class Better(NamedTuple):
    """A variation that takes less and holds: by what share less, what was changed, and whether a wait was cut."""

    gain: float
    changes: tuple[str, ...]
    waits_less: bool
    held: int


def number_and_unit(text: Any) -> tuple[float, str]:
    """ "40 mm" → 40.0 and "mm"; a bare number has none."""
    if isinstance(text, (int, float)):
        return float(text), ""
    number, unit = str(text).split(maxsplit=1)
    return float(number), unit


def moved(value: Any, spread: float, random: np.random.Generator) -> tuple[Any, bool]:
    """A number strayed, and whether it is less than before."""
    number, unit = number_and_unit(value)
    new = float(f"{number * np.exp(spread * random.standard_normal()):.4g}")
    return (f"{new:g} {unit}" if unit else new), new < number


def instead_of(paper: str) -> list[str]:
    """The papers that the rules take in place of one."""
    rows = [papers for key, one in rules().items() if key.startswith("papers.") for papers in one.more["either"]]
    return sorted({other for papers in rows if paper in papers for other in papers} or {paper})


def by_the_rules(recipe: Recipe) -> bool:
    """Whether each film lies between the ends that the rules give it, in as many coats as they say."""
    for step in recipe.steps:
        if isinstance(step, Spray):
            on_paint = step.material == "surfacer" and not any(one.do == "fill" for one in recipe.steps)
            one = rules()[f"coats.{'surfacer-on-paint' if on_paint else RULES.get(step.material, step.material)}"]
            least, most = one.more["coats"]
            if not least <= step.coats <= most or not one.low <= 1.01 * step.planned_film(recipe) <= 1.02 * one.high:
                return False
    return True


def changeable(steps: list[dict[str, Any]]) -> list[tuple[int, str]]:
    """Every number of a plan that a variation may change: the place of its step, and its key."""
    found = []
    for place, step in enumerate(steps):
        found += [(place, key) for key in step if key in SPREADS]
        found += [(place, key) for key in ("paper", "coats") if key in step]
        found += [(place, key) for key in ("area", "open") if isinstance(step.get(key), dict) and "by" in step[key]]
    return found


def varied(tables: dict[str, Any], random: np.random.Generator) -> tuple[dict[str, Any], tuple[str, ...], bool]:
    """One random variation of a plan's tables, what was changed, and whether a wait or a flash was cut."""
    new = copy.deepcopy(tables)
    steps, told, cut = new["step"], [], False
    open_ = changeable(steps)
    for which in random.choice(len(open_), size=random.integers(1, 5), replace=False):
        place, key = open_[which]
        step, before = steps[place], copy.deepcopy(steps[place][key])
        if key == "paper":
            step[key] = str(random.choice(instead_of(before)))
        elif key == "coats":
            step[key] = max(1, before + int(random.choice((-1, 1))))
        elif key in ("area", "open"):
            by, unit = number_and_unit(before["by"])
            step[key]["by"] = f"{max(by + 15 * random.standard_normal(), 0):.4g} {unit}"
        else:
            step[key], less = moved(before, SPREADS[key], random)
            cut |= less and key in DRYING and step["do"] in ("wait", "spray")
        told.append(f"{place + 1} {step['do']} {key} {before} → {step[key]}")
    return new, tuple(told), cut


def better(search: Search, plan: Plan, number: int, seed: int = 7) -> Iterator[Better]:
    """Of so many variations those that take less and hold with the hands that judged the plan."""
    random, least = np.random.default_rng(seed), search.damage.wish.least
    own, hands = plan.figures.of(least), plan.judged
    for _ in range(number):
        tables, changes, cut = varied(plan.outline.tables, random)
        try:
            recipe = from_document(Document.of_tables(tables, search.damage.name))
            played = replay(recipe) if by_the_rules(recipe) else None
        except InputError:
            continue
        if played is None:
            continue
        figures = figures_of(played)
        gain = 1 - figures.of(least) / own
        if gain < CLEAR or played.not_yet or against(played):
            continue
        tried = replace(plan, played=played, figures=figures)
        handed, bad = search.handed(tried), 0
        for hand in hands:
            bad += search.fails_with(handed, hand) is not None
            if bad > (1 - HOLDING) * len(hands) + 1e-9:
                break
        else:
            yield Better(gain, changes, cut, len(hands) - bad)


def proposed(name: str) -> tuple[Proposal, float]:
    """The proposal for a damage of the tests, and the CPU (s) that it took."""
    begun = time.process_time()
    found = propose(damage.loads(HEAD + DAMAGES[name]))
    return found, time.process_time() - begun


def figures() -> Iterator[Figure]:
    for name in DAMAGES:
        found, took = proposed(name)
        yield Figure(f"{name}: {'holds' if found.holds else 'no plan'}", took, "s of CPU", 5.0)


def beside_the_demo() -> None:
    """What is proposed for the demo's damage, and the demo's recipe, by the same hands played in full."""
    found, took = proposed("door, creased")
    assert found.plan is not None
    demo = load(demo_path())
    for title, recipe in (("proposed", found.plan.recipe), ("demo", demo)):
        played = replay(recipe)
        hands = [replay(with_hand(recipe, hand, found.damage.wish.hand), remember=False) for hand in range(101, 111)]
        held = sum(not one.not_yet for one in hands)
        print(
            f"{title}: steady hand not yet {len(played.not_yet)}, {held} of {len(hands)} hands, {figures_of(played)}"
        )
    print(f"{took:.1f} s of CPU")


def main(name: str, number: int) -> None:
    name = next(one for one in DAMAGES if name in one)
    found, took = proposed(name)
    print(f"{name}: {took:.1f} s of CPU, holds: {found.holds}", flush=True)
    if found.plan is None or not found.holds:
        return
    print(found.plan.figures, found.plan.choice)
    all_, cut = 0, 0
    for one in better(Search(found.damage, 10, None, None), found.plan, number):
        all_, cut = all_ + 1, cut + one.waits_less
        mark = " (waits less)" if one.waits_less else ""
        print(f"{one.gain:.2%} less{mark}, {one.held} hands: {'; '.join(one.changes)}", flush=True)
    print(f"{all_ - cut} of {number} variations are better and hold; {cut} more that wait less")


if __name__ == "__main__":
    if sys.argv[1] == "demo":
        beside_the_demo()
    else:
        main(sys.argv[1], int(sys.argv[2]))
