"""Solvents to choose from on a bench: single ones by name, and blends by mass, two of them invented."""

from __future__ import annotations

from typing import Any

BLENDS: dict[str, dict[str, str]] = {
    "demo fast blend": {"methyl ethyl ketone": "40 %", "toluene": "30 %", "n-butyl acetate": "30 %"},
    "demo slow blend": {"n-butyl acetate": "40 %", "xylene": "30 %", "methoxypropyl acetate": "30 %"},
    "technical xylene": {"xylene": "80 %", "ethylbenzene": "20 %"},  # a fifth, as safety data sheets list the two
    "panel wipe": {"light naphtha": "90 %", "xylene": "10 %"},  # naphtha 70 to 100 % (from memory)
}
OPTIONS = (
    *BLENDS,
    "acetone",
    "methyl ethyl ketone",
    "toluene",
    "n-butyl acetate",
    "xylene",
    "methoxypropyl acetate",
    "styrene",
)


def blend(choice: str) -> Any:
    """What a call takes for a choice: a name, or the parts of a blend."""
    return BLENDS.get(choice, choice)


def in_words(choice: str) -> str:
    """A choice, and of a blend its parts."""
    parts = BLENDS.get(choice)
    return f"{choice} ({', '.join(f'{share} {name}' for name, share in parts.items())})" if parts else choice
