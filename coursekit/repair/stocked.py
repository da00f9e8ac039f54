"""What is wanted and not there, and the damage as it would be planned with it there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, Literal, NamedTuple

from coursekit.repair.damage import Damage
from coursekit.sanding.grits import read_grade


class Missing(NamedTuple):
    """One thing that is wanted and not there: on which list of the stock, and its name."""

    sort: Literal["papers", "tools", "materials"]
    name: str


def with_stock(damage: Damage, wanted: Iterable[Missing]) -> Damage:
    """The damage with these things there as well."""
    there: dict[str, Any] = {}
    for sort, name in wanted:
        have = there.get(sort, getattr(damage.stock, sort))
        if have is not None:
            there[sort] = (*have, read_grade(name) if sort == "papers" else name)
    return replace(damage, stock=replace(damage.stock, **there))
