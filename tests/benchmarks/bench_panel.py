"""Sanding on the door: a pass of the block, its growth with cells, and a whole repair."""

import numpy as np

from coursekit import panel
from coursekit.panel import sanding
from tests.benchmarks.timing import Figure, least

BOARD = panel.Tool("long board", 0.4, 0.07, 1e9, 61.5)
BLOCK = panel.Tool("hand block", 0.125, 0.07, 1e9, 38.0)
CONFORMING = panel.Tool("block that takes the form", 0.28, 0.07, 3e8, 5.0)
RIGID = panel.Tool("rigid block", 0.28, 0.07, 1e9)
PAD = panel.disc("machine pad", 0.15, 1e8)
AREA, WIDE = (0.40, 0.80, 0.42, 0.68), (0.30, 0.90, 0.36, 0.76)


def _papers():
    tools = (BOARD, BLOCK, CONFORMING, RIGID, PAD)
    return {
        (grade, tool.name): panel.paper_of(grade, tool, 20.0)
        for grade in ("P80", "P180", "P320", "P600", "P1500")
        for tool in tools
    }


def steps(papers):
    """Twelve steps from the dent to the sanded recoat."""
    spray = {"material": "surfacer", "volume_solids": 0.45, "flow": 4.2e-6, "speed": 0.35, "pitch": 0.1, "area": WIDE}
    dry = (panel.wait, {"time": 4 * 3600.0})

    def blocked(grade, tool, strokes, area, hand=0.1):
        return panel.block, {
            "tool": tool,
            "paper": papers[grade, tool.name],
            "force": 20.0,
            "strokes": strokes,
            "area": area,
            "keep_off": 0.01,
            "hand": hand,
        }

    return [
        (panel.wash, {}),
        (panel.fill, {"area": AREA, "proud": 60e-6, "ripple": 15e-6, "ripple_length": 0.12}),
        blocked("P180", BOARD, 200, AREA),
        (panel.spray, spray),
        (panel.spray, spray | {"offset": 0.5}),
        dry,
        (panel.guide_coat, {"area": WIDE}),
        blocked("P320", BLOCK, 400, AREA),
        (panel.spray, spray | {"flow": 3e-6, "speed": 0.45}),
        dry,
        blocked("P600", BLOCK, 60, WIDE),
        (panel.wash, {}),
    ]


def play(state, acts):
    for act, settings in acts:
        state, _ = act(state, **settings)
    return state


def dented():
    shape = panel.door()
    x, y = np.meshgrid(shape.x, shape.y)
    dent = -0.6e-3 * np.exp(-(((x - 0.6) / 0.1) ** 2) - ((y - 0.55) / 0.07) ** 2)
    return panel.sheet_metal(shape, dents=dent, coats=panel.FACTORY_COATS)


def figures():
    papers = _papers()
    acts, door = steps(papers), dented()
    waved = play(door, acts[:2])
    for tool, wanted in ((CONFORMING, 4), (BLOCK, None), (BOARD, None), (RIGID, None)):
        settings = {
            "tool": tool,
            "paper": papers["P320", tool.name],
            "force": 20.0,
            "strokes": sanding.FEWEST_VISITS,
            "along": "x",
            "keep_off": 0.01,
        }
        few, many = (least(lambda s=settings, f=finer: panel.block(waved, **s, finer=f), 12) for finer in (1, 3))
        one = (many - few) / (2 * sanding.FEWEST_VISITS)
        yield Figure(f"one more pass over the whole door, {tool.name}", 1e3 * one, "ms", wanted)
        yield Figure("  what an act costs besides its passes", 1e3 * (few - sanding.FEWEST_VISITS * one), "ms")
    cost, cells = [], []
    for cell in (10e-3, 5e-3, 2.5e-3, 1.25e-3):
        shape = panel.door(cell=cell)
        grid = panel.sheet_metal(shape, coats=panel.FACTORY_COATS)
        settings = {"tool": BLOCK, "paper": papers["P320", BLOCK.name], "force": 20.0, "strokes": 8}
        cost.append(least(lambda g=grid, s=settings: panel.block(g, **s), 5))
        cells.append(shape.form.size)
    growth = float(np.polyfit(np.log(cells), np.log(cost), 1)[0])
    yield Figure("growth of a block's cost with cells (1: linear)", growth, "", 1.1)
    yield Figure("twelve-step repair, cold", 1e3 * least(lambda: play(door, acts), 12), "ms", 150)
    late = play(door, acts[:8])
    yield Figure("after a change in the last third", 1e3 * least(lambda: play(late, acts[8:]), 12), "ms", 50)
    for at, (act, settings) in enumerate(acts, 1):
        state = play(door, acts[: at - 1])
        took = least(lambda a=act, s=settings, p=state: a(p, **s), 8)
        yield Figure(f"  step {at}: {act.__name__}", 1e3 * took, "ms")
