"""Where sanding went through, in sentences: through what, to what, how large, and what goes on first."""

from __future__ import annotations

from coursekit.figure import Figure
from coursekit.nomenclature import System
from coursekit.repair.entry import Entry
from coursekit.repair.verdicts import goes_on_first
from coursekit.repair.words import spot_words


def opened_areas(entry: Entry) -> dict[tuple[str, str], float]:
    """Where it went through (m²): metal first, which is what rusts, then the largest."""
    areas = [(pair, area) for pair, area in sorted(entry.change.broken.items()) if area > 0]
    return dict(sorted(areas, key=lambda one: (one[0][1] != "bare metal", -one[1])))


def opened_words(entry: Entry, system: System, remedy: bool = True) -> list[str]:
    """Sentences: through what, to what, how large; `remedy`: and what goes on first, said once for all alike."""

    def first(through: str, to: str) -> str:
        return f": {goes_on_first(through, to)}" if remedy else ""

    alike: dict[tuple[str, str], list[str]] = {}
    for (through, to), area in opened_areas(entry).items():
        alike.setdefault((through, first(through, to)), []).append(f"to {to} on {spot_words(area, system)}")
    found = [f"Through the {through} {' and '.join(where)}{then}." for (through, then), where in alike.items()]
    lines = [
        f"the {name} is through the {one.through} to {one.to} along {Figure(one.length, 'extent', system):2}, "
        f"{one.share:.0%} of it{first(one.through, one.to)}"
        for name, one in entry.change.lines.items()
    ]
    return [*found, f"Besides, {'; '.join(lines)}."] if lines else found
