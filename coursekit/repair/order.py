"""Orders that cannot work, found before anything is computed. What only the panel can tell, the verdicts say."""

from __future__ import annotations

from collections.abc import Iterable

from coursekit.repair.given import Given
from coursekit.repair.steps import Before, Step
from coursekit.tomlfile import Document


def check_order(given: Given, steps: Iterable[Step], document: Document) -> None:
    """Raise InputError at the first step that cannot follow those before it, with the remedy."""
    bare = "bare metal" if given.panel["sheet"] == "steel" else "bare plastic"
    damage = given.panel["damage"]
    opened = damage is not None and damage["down_to"] == "bare sheet"
    before = Before(bare, bare if opened else "old paint")
    for step in steps:
        if refused := step.refused(before, given):
            where = ("step", step.number - 1, refused.key)
            document.fail(where, refused.problem, refused.remedy, "order")
        before = step.leaves(before)
