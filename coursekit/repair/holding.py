"""Which block levels, and what follows it: by the width of the work and the crown of the panel."""

from __future__ import annotations

from coursekit.repair.damage import Damage
from coursekit.repair.rules import rule

WIDTH = 0.07  # m of a block, which lies across the tighter crown
TRIED = 2.1  # times the height under it at which a board is tried all the same: the panel decides
BLOCKS = ("hand block", "rubber block", "narrow rubber block", "foam block")
USUAL_TOOLS = (*BLOCKS, "long board", "soft pad", "machine soft pad", "polishing pad")


def blocks_for(damage: Damage, there: tuple[str, ...]) -> list[tuple[str, str]]:
    """What may level the long waves, and what follows it: by the width of the work and the crown under their length.

    A stiff block lies safely on a gentle crown; what bends is tried on every crown, alone too.
    """
    crown, most = sorted(abs(bend) for bend in damage.shape.crown)
    safe, bends = rule("block.sagitta").value, rule("block.bends").value

    def height(length: float) -> float:
        return length**2 / 8 * crown

    wanted = ["rubber block"]
    if WIDTH**2 / 8 * most > safe:
        wanted.append("narrow rubber block")
    elif height(0.125) < safe:
        wanted.insert(0, "hand block")
    if height(0.125) > bends / 3:
        wanted.append("foam block")
    short = [tool for tool in wanted if tool in there] or [tool for tool in BLOCKS if tool in there] or ["hand block"]
    gives = [tool for tool in short if tool != "hand block"]
    alone = [(tool, tool) for tool in gives]
    if (
        "narrow rubber block" in short and "rubber block" in short
    ):  # long and narrow it shapes, short and wide it ends
        alone.insert(0, ("narrow rubber block", "rubber block"))
    if height(0.4) > TRIED * bends or "long board" not in there:
        return [*alone, *((tool, tool) for tool in short if tool not in gives)]
    return [*(("long board", tool) for tool in short), *alone]
