"""Neighbours of the damages: does a small change turn a plan into none? `… bench_neighbours [DAMAGE …]`.

Each damage whose plan holds is moved by 5 mm, made 5 mm wider and narrower, a tenth deeper and shallower, and its
garage 5 °C warmer and colder. Each neighbour is proposed for anew, and judged by hands that took no part in it.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from dataclasses import replace

from coursekit.repair import damage, propose
from coursekit.repair.damage import Damage
from coursekit.repair.sharing import beside
from tests.damages import DAMAGES, HEAD

STEP = 5e-3  # m
DEEPER = 0.1
WARMER = 5.0  # K


def neighbours(own: Damage) -> Iterator[tuple[str, Damage]]:
    """The damage with one thing changed a little, and what."""
    place, (x, y) = own.damage, own.corner
    for name in ("x", "y", "width", "height"):
        for step in (-STEP, STEP):
            here = replace(place, x=x, y=y)
            moved = replace(here, **{name: getattr(here, name) + step})
            yield f"{name} {step * 1e3:+.0f} mm", replace(own, damage=moved)
    if place.depth:
        for share in (-DEEPER, DEEPER):
            yield f"depth {share:+.0%}", replace(own, damage=replace(place, depth=place.depth * (1 + share)))
    for step in (-WARMER, WARMER):
        garage = replace(own.garage, temperature=own.garage.temperature + step)
        yield f"{step:+.0f} °C", replace(own, garage=garage)


def main(wanted: list[str]) -> None:
    for name, text in DAMAGES.items():
        if wanted and not any(one in name for one in wanted):
            continue
        own = damage.loads(HEAD + text)
        held = count = 0
        for what, near in neighbours(own):
            with beside() as executor:
                begun = time.perf_counter()
                found = propose(near, executor=executor)
                took = time.perf_counter() - begun
            if found.refused:
                break
            assert found.plan is not None
            count, held = count + 1, held + found.holds
            hands = f"{found.plan.held}/{found.plan.hands}"
            print(f"{name}, {what}: {'holds' if found.holds else 'NONE'}, {hands} hands, {took:.1f} s", flush=True)
        if count:
            print(f"{name}: {held} of {count} neighbours hold", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
