"""The steps of a repair, a module each: its entries, what it does, brings and needs, its result and its words.

step.entries()                what a recipe writes of it; reader, order, form and drag bench walk these
step.act(panel, given)        the panel after it, and what it used
step.brings, step.words       the material that it lays; what is done, in a few words
step.refused(before, given)   why it cannot follow the steps before it
"""

from collections.abc import Mapping

from coursekit.repair.steps.block import Block
from coursekit.repair.steps.clean import Clean
from coursekit.repair.steps.fill import Fill
from coursekit.repair.steps.guide_coat import GuideCoat
from coursekit.repair.steps.hand_sand import HandSand
from coursekit.repair.steps.machine_sand import MachineSand
from coursekit.repair.steps.mask import Mask
from coursekit.repair.steps.polish import Polish
from coursekit.repair.steps.sanding import ByHand, Sand, WithPaper
from coursekit.repair.steps.spray import Spray, Sprayed
from coursekit.repair.steps.step import Before, Refused, Step, Timed
from coursekit.repair.steps.unmask import Unmask
from coursekit.repair.steps.wait import Wait

STEPS: Mapping[str, type[Step]] = {
    kind.do: kind
    for kind in (Clean, Fill, GuideCoat, Block, HandSand, MachineSand, Polish, Mask, Unmask, Spray, Wait)
}

__all__ = [
    "STEPS",
    "Before",
    "Block",
    "ByHand",
    "Clean",
    "Fill",
    "GuideCoat",
    "HandSand",
    "MachineSand",
    "Mask",
    "Polish",
    "Refused",
    "Sand",
    "Spray",
    "Sprayed",
    "Step",
    "Timed",
    "Unmask",
    "Wait",
    "WithPaper",
]
