"""What the hand holds: a block, a board or a disc, and the pressure under it."""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from coursekit.quantities import LONGEST_TEXT, InputError, Real, public, read

_SIDE = r"([0-9.]+) *([a-zA-Z]*)"
_PAIR = re.compile(rf"^{_SIDE} *[x×X*] *{_SIDE}$")
_DISC = re.compile(rf"^(?:ø *)?{_SIDE} *(?:disc|disk|pad|round)$", re.IGNORECASE)
_REMEDY = 'Write its two sides, "70 x 125 mm" or "2.75 x 5 in", or "150 mm disc".'


class Block(NamedTuple):
    """A sanding block: its longer side, which lies along the stroke, and its shorter; of a disc the diameter."""

    length: float  # m
    width: float  # m
    disc: bool = False

    @property
    def area(self) -> float:
        return self.length * self.width * (math.pi / 4 if self.disc else 1)

    @property
    def sliding(self) -> float:
        """Mean distance that a point slides under it in one stroke that carries the block right over the point."""
        return self.area / self.width


def read_block(value: object, argument: str = "block") -> Block:
    """The block that a person described: "70 x 125 mm", "2.75 x 5 in", "150 mm disc", two lengths, or a Block.

    Raises InputError naming the argument.
    """
    if isinstance(value, Block):
        return value
    if isinstance(value, (tuple, list)) and len(value) == 2:
        sides = [read(side, "block_side", argument) for side in value]
        if any(getattr(side, "ndim", 0) for side in sides):
            raise InputError(argument, "has a side that is a list.", _REMEDY, kind="list")
        return Block(max(sides), min(sides))
    if not isinstance(value, str):
        raise InputError(argument, f"a {type(value).__name__} is not a block.", _REMEDY, kind="other type")
    text = " ".join(value.split())
    if len(text) > LONGEST_TEXT:
        raise InputError(argument, f"text of {len(text)} characters is too long.", _REMEDY, kind="too long")
    if match := _DISC.match(text):
        diameter = read(f"{match[1]} {match[2]}", "block_side", argument)
        return Block(diameter, diameter, disc=True)
    if match := _PAIR.match(text):
        first = f"{match[1]} {match[2] or match[4]}"  # "70 x 125 mm": the unit stands for both
        sides = [read(first, "block_side", argument), read(f"{match[3]} {match[4]}", "block_side", argument)]
        return Block(max(sides), min(sides))
    raise InputError(argument, f'"{text}" is not the size of a block.', _REMEDY, kind="form")


@public(gives="pressure")
def block_pressure(force: Real, block: object) -> Real:
    """Mean pressure under a block, from the hand's force and the block's size.

    force: pressing down; a kitchen scale under the block shows it (1 kg is 9.8 N)
    block: "70 x 125 mm", "2.75 x 5 in", "150 mm disc", or two lengths
    Gives (...) Pa. Raises InputError for a wrong unit or no block, RangeError out of those ranges.
    Holds when the whole face touches; on edges and crowns less of it does. Source: derived-here.
    """
    return force / read_block(block).area
