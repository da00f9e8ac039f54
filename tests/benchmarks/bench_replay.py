"""A repair of twelve steps on a door: played from nothing, after a late change, from memory, and on finer grids."""

import time

from coursekit import repair
from coursekit.repair import playing
from tests.benchmarks.timing import Figure

RECIPE = """
format = 2
title = "Twelve steps on a door"
[panel]
cell = "{cell} mm"
[panel.damage]
x = "420 mm"
y = "470 mm"
width = "300 mm"
height = "160 mm"
low = "1 mm"
stripped = "15 mm"
feather = "60 mm"
[[step]]
do = "clean"
wipes = 3
[[step]]
do = "fill"
area = {{ x = "340 mm", y = "400 mm", width = "460 mm", height = "300 mm" }}
proud = "0.12 mm"
ripple = "0.06 mm"
[[step]]
do = "wait"
time = "40 min"
[[step]]
do = "block"
paper = "P180"
force = "30 N"
strokes = 300
area = "repair"
keep_off = "20 mm"
[[step]]
do = "spray"
material = "surfacer"
coats = 2
area = "repair"
fluid_delivery = "240 mL/min"
gun_speed = "0.3 m/s"
[[step]]
do = "wait"
time = "5 h"
[[step]]
do = "guide coat"
[[step]]
do = "block"
paper = "P320"
strokes = 400
area = "repair"
keep_off = "20 mm"
[[step]]
do = "spray"
material = "surfacer"
reduction = "20 %"
area = "repair"
[[step]]
do = "wait"
time = "5 h"
[[step]]
do = "hand sand"
paper = "P600"
force = "10 N"
strokes = 60
area = "repair"
[[step]]
do = "spray"
material = "base"
coats = 3
"""
CELLS = (5.0, 3.5, 2.5)  # mm


def least(prepare, call, tries=7):
    """Least seconds of a call, each try prepared anew."""
    found = []
    for _ in range(tries):
        prepare()
        start = time.perf_counter()
        call()
        found.append(time.perf_counter() - start)
    return min(found)


def _changes(demo):
    """The demo after another force at one of its steps: the answer, and the preview while it is being moved."""
    forces = iter(range(1, 1000))

    def after(number, **asked):
        recipe = demo

        def changed():
            nonlocal recipe
            repair.replay(demo)
            recipe = demo.changed("step", number, "force", to=f"{15 + next(forces) / 100} N")

        return least(changed, lambda: repair.replay(recipe, **asked), 5)

    for number in (14, 16, 17, 23):
        answer, preview = after(number), after(number, preview=True, again=True)
        yield Figure(f"  after a change of step {number}, answer", answer * 1e3, "ms", 250)
        yield Figure("    preview", preview * 1e3, "ms", 50)
        yield Figure("    answer over preview", answer / preview, "×")


def figures():
    door = repair.loads(RECIPE.format(cell=5))
    assert len(door.steps) == 12
    forces = iter(range(1, 1000))

    def changed_late():
        nonlocal late
        late = door.changed("step", 11, "force", to=f"{10 + next(forces) / 100} N")
        repair.replay(door)

    late = door
    cold = least(playing.memory.clear, lambda: repair.replay(door))
    yield Figure("twelve steps on a door, from nothing", cold * 1e3, "ms", 150)
    after = least(changed_late, lambda: repair.replay(late))
    yield Figure("  after a change of step 11 of 12", after * 1e3, "ms", 50)
    yield Figure("  all from memory", least(lambda: repair.replay(door), lambda: repair.replay(door)) * 1e3, "ms")
    yield Figure("  reading the recipe", least(lambda: None, lambda: repair.loads(RECIPE.format(cell=5))) * 1e3, "ms")
    demo = repair.load(repair.demo_path())
    whole = least(playing.memory.clear, lambda: repair.replay(demo), 4)
    yield Figure(f"the demo repair, {len(demo.steps)} steps, from nothing", whole * 1e3, "ms")
    yield Figure("  bytes that the memory keeps for it", playing.memory.nbytes / 2**20, "MiB", 96)
    yield from _changes(demo)
    per_cell = []
    for cell in CELLS:
        recipe = repair.loads(RECIPE.format(cell=cell))
        seconds = least(playing.memory.clear, lambda recipe=recipe: repair.replay(recipe), 4)
        count = repair.replay(recipe).start.dents.size
        per_cell.append(seconds / count)
        yield Figure(f"  twelve steps, cells of {cell:g} mm, per thousand cells", per_cell[-1] * 1e6, "ms")
    yield Figure("time per cell, finest grid over coarsest (1: linear)", per_cell[-1] / per_cell[0], "×", 1.5)
    playing.memory.clear()
