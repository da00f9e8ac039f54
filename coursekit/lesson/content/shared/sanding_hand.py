"""What the benches of sanding share: the hand with its block, the material, and axes that stay put."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import at
from coursekit.nomenclature import names
from coursekit.sanding import Block
from coursekit.uncertain import Coefficient

FORCE = at("20 N", measured="hand_force")
BLOCK_LENGTH = at("125 mm", start_us="5 in", seldom=True, label="length of the block, along the stroke")
BLOCK_WIDTH = at("70 mm", start_us="2.75 in", seldom=True, label="width of the block")
SANDED = at("surfacer")
SANDED_OUT = {
    "go": "On a flat the film is there; edges and body lines go first.",
    "doubtful": "It may go through before they are gone.",
    "no": "It goes through before they are gone: spray more film first, or begin with a finer paper.",
}
_DEPTHS = [step * 10.0**tens for tens in range(-7, 0) for step in (1, 2, 5)]  # m


def block(length: float, width: float) -> Block:
    """The block with its longer side along the stroke."""
    return Block(max(length, width), min(length, width))


def hardness(sanded: str) -> Coefficient | float:
    """Hardness of a material; without its band where wear was measured on it, as the two count as a ratio only."""
    usual = own.coefficient(names()["hardness"].classes[sanded])
    worn = own.garage_file().reading("removal", "hardness")
    return usual if worn is None or not np.allclose(worn, usual) else float(usual)


def ease(sanded: str) -> Coefficient | float:
    """How easily a material cuts; without its band where wear was measured on it."""
    usual = own.coefficient(names()["cutting_ease"].classes[sanded])
    return usual if isinstance(hardness(sanded), Coefficient) else float(usual)


def axis_end(depths: Sequence[float]) -> float:
    """A round end of an axis that holds these depths, so that the axis moves only when it must."""
    return next((end for end in _DEPTHS if end >= max(depths)), _DEPTHS[-1])
