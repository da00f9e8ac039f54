"""A plan that is proposed, put into the form: its steps with their reasons, and what it decided of the old paint."""

from __future__ import annotations

import copy
from collections.abc import Sequence

from coursekit.lesson.learner import own
from coursekit.lesson.plan.draft import Draft
from coursekit.lesson.plan.entries import Table
from coursekit.lesson.repair.demo_recipes import as_text, with_mine
from coursekit.repair import Proposal
from coursekit.spraying import fan_width

MEASURED = {"fluid_delivery": "fluid_delivery", "transfer_efficiency": "captured"}  # of the kept gun → entries


def blank() -> Draft:
    """A plan without a step, for a damage of which nothing is said; with what the learner measured."""
    mine = with_mine({})
    made = Draft.of_damage({key: mine[key] for key in ("measurement",) if key in mine})
    for part in ("measured", "gun"):
        made.given[part].written.update(Table.of(part, mine.get(part, {})).written)
    file = own.garage_file()
    for key, entry in MEASURED.items():
        if key in file.keys:
            made.given["gun"].written[entry] = as_text(float(file.coefficient(key)), key)
    if "open_fan" in file.keys:  # measured wide open: here as the gun is set and held
        set_so = own.my_outfit().si
        ends = (file.coefficient(key) for key in ("open_fan", "closed_fan"))
        width = fan_width.si(set_so["fan_opening"], set_so["gun_distance"], *ends)
        made.given["gun"].written["fan_width"] = as_text(float(width), "width")
    return made


def adopt(draft: Draft, found: Proposal) -> Draft:
    """The form's answers with the steps of a proposal."""
    assert found.plan is not None
    made, written = copy.deepcopy(draft), found.plan.recipe.written
    panel = written["panel"]
    made.planned = True
    made.given["panel"].written["cell"] = panel["cell"]
    for key in ("stripped", "feather"):
        made.given["damage"].written[key] = panel["damage"][key]
    made.given["start"].written = Table.of("start", written.get("start", {})).written
    made.steps = [Table.of(table["do"], table) for table in written["step"]]
    for number, (table, step) in enumerate(zip(made.steps, found.plan.outline.steps, strict=True), 1):
        table.why, table.role = step.why, role_of(made.steps, number)
    return made


def role_of(steps: Sequence[Table], number: int) -> str:
    """What a step is in its plan, so that it is found in another one: the second time that P320 is blocked."""
    title = _title(steps[number - 1])
    return f"{title} {sum(_title(one) == title for one in steps[:number])}"


def _title(table: Table) -> str:
    return " ".join([table.kind, *(table.written.get(key, "") for key in ("material", "paper"))]).strip()
