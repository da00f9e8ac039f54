"""Areas of a plan: filler covers the low, masks leave open what is sprayed, nothing is aimed past the panel."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from coursekit.repair.case import SPOT
from coursekit.repair.condition import FEW
from coursekit.repair.finding import PlanFinding
from coursekit.repair.given import Place
from coursekit.repair.start import shape_of
from coursekit.repair.steps import Fill, Mask, Spray, Step, Unmask
from coursekit.repair.words import Reason

if TYPE_CHECKING:
    from coursekit.panel import Shape
    from coursekit.repair.playing import Replay

PAST = 0.05  # m past the panel's edge that an area may reach before it is told (assumed)


def areas(replay: Replay) -> Iterator[PlanFinding]:
    """Filler that ends short of the low, tape on the damage or under the gun, areas past the panel."""
    recipe, shape = replay.recipe, shape_of(replay.recipe.panel)
    hurt = recipe.damage_area
    yield from _past(recipe.steps, shape)
    if hurt is not None:
        yield from _filler(recipe.steps, shape, hurt, recipe.panel["damage"]["low"])
    opened: Mask | None = None
    for step in recipe.steps:
        if isinstance(step, Mask):
            opened = step
            if hurt is not None:
                yield from _taped(step, shape, hurt)
        elif isinstance(step, Unmask):
            opened = None
        elif isinstance(step, Spray) and opened is not None:
            yield from _on_tape(step, opened, shape)


def _cells(shape: Shape, area: Place | None) -> np.ndarray:
    """The cells of the panel in an area."""
    if area is None:
        return shape.inside
    columns = (shape.x >= area[0]) & (shape.x <= area[1])
    rows = (shape.y >= area[2]) & (shape.y <= area[3])
    found: np.ndarray = shape.inside & rows[:, None] & columns
    return found


def _filler(steps: tuple[Step, ...], shape: Shape, hurt: Place, low: float) -> Iterator[PlanFinding]:
    """All fills of a plan together cover the damage."""
    fills = [step for step in steps if isinstance(step, Fill)]
    if not fills or low <= 0:
        return
    bare = _cells(shape, hurt)
    for step in fills:
        bare = bare & ~_cells(shape, step.area)
    left = float(bare.sum()) * shape.cell**2
    if left > SPOT:
        reason = Reason(True, "filler leaves {0} of the damage low", (("spot", left),))
        yield PlanFinding(
            "areas",
            tuple(step.number for step in fills),
            reason,
            'Fill the damage and what is bare around it: area = {{ around = "damage", by = "80 mm" }}.',
        )


def _taped(step: Mask, shape: Shape, hurt: Place) -> Iterator[PlanFinding]:
    damage = _cells(shape, hurt)
    covered = float((damage & ~_cells(shape, step.open)).sum() / max(damage.sum(), 1))
    if covered > FEW:
        yield PlanFinding(
            "areas",
            (step.number,),
            Reason(True, "tape and paper cover {0} of the damage", (("remaining", covered),)),
            "Leave open what is sprayed: the same area as that step's.",
        )


def _on_tape(step: Spray, opened: Mask, shape: Shape) -> Iterator[PlanFinding]:
    aimed = _cells(shape, step.area)
    taped = float((aimed & ~_cells(shape, opened.open)).sum() / max(aimed.sum(), 1))
    if taped > FEW:
        yield PlanFinding(
            "areas",
            (opened.number, step.number),
            Reason(taped > 0.5, "{0} of the area that is sprayed lies under tape and paper", (("remaining", taped),)),
            "Spray the area that the mask leaves open, or open the mask further.",
        )


def _past(steps: tuple[Step, ...], shape: Shape) -> Iterator[PlanFinding]:
    width, height = shape.size
    for step in steps:
        for key, said in step.entries().items():
            area = getattr(step, key) if said.reads == "area" else None
            if area is None:
                continue
            past = max(-area[0], area[1] - width, -area[2], area[3] - height)
            if past > PAST and step.number and not isinstance(step, Spray):
                yield PlanFinding(
                    "areas",
                    (step.number,),
                    Reason(False, "its area reaches {0} past the panel", (("place", past),)),
                    "That is allowed; but check that the place is meant.",
                )
