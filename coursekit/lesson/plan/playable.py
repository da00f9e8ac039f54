"""What of a plan can be played: an entry that cannot be, or waits for another, gives way to what stood before."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from coursekit import repair
from coursekit.lesson.plan.draft import Complaint, Draft
from coursekit.lesson.plan.entries import Table
from coursekit.quantities import InputError
from coursekit.repair import PlanFinding, Recipe, Replay, plan_checks
from coursekit.repair.recipe import from_document
from coursekit.repair.steps import STEPS
from coursekit.tomlfile import Document

Entry = tuple[int, str]  # id of its table, and its key; "" for the order of the steps
ORDER: Entry = (0, "")


class Standing(NamedTuple):
    """A plan as it can be played.

    draft   what is played: the form's, but for what gave way
    recipe  and `played`: None as long as there is no step
    faults  what cannot be of entries that can each be read
    waits   entry → what it waits for
    """

    draft: Draft
    recipe: Recipe | None = None
    played: Replay | None = None
    found: tuple[PlanFinding, ...] = ()
    faults: tuple[Complaint, ...] = ()
    waits: Mapping[Entry, Complaint] = MappingProxyType({})

    @property
    def rough(self) -> bool:
        """Whether it was played roughly, so that it gives no verdict."""
        return self.played is not None and self.played.preview


def stand(draft: Draft, before: Draft | None, recent: Sequence[Entry] = (), preview: bool = False) -> Standing | None:
    """The plan that stands in a form, played; None when nothing of the change can be.

    before  what was played last
    recent  what was changed since, the last at the end: it gives way first
    """
    trial = copy.deepcopy(draft)
    for table in trial.tables():
        for key in table.errors:
            _give_way(trial, before, (table.id, key))
    faults: list[Complaint] = []
    waits: dict[Entry, Complaint] = {}
    while True:
        try:
            if not trial.steps:
                trial.damage()
                return Standing(trial, faults=tuple(faults), waits=waits)
            recipe = from_document(Document.of_tables(trial.written(), "plan"))
            played = repair.replay(recipe, preview=preview, again=True)
            found = () if played.preview else plan_checks(played)
            return Standing(trial, recipe, played, found, tuple(faults), waits)
        except InputError as error:
            complaint = _of(draft, trial.complaint(error.problems[0]))
            faults.append(complaint)
            entry = _next([one for one in _changed(trial, before) if one not in waits], complaint, recent)
            if entry is None:
                return None
            waits[entry] = complaint
            _give_way(trial, before, entry)


def _next(changed: Sequence[Entry], complaint: Complaint, recent: Sequence[Entry]) -> Entry | None:
    """What gives way: the entry complained of if it was changed, else the last change."""
    if not changed:
        return None
    if complaint.table is not None and (complaint.table.id, complaint.key) in changed:
        return complaint.table.id, complaint.key
    near = [entry for entry in changed if complaint.table is not None and entry[0] == complaint.table.id]
    return next((entry for entry in reversed(recent) if entry in (near or changed)), (near or changed)[0])


def _changed(trial: Draft, before: Draft | None) -> Iterator[Entry]:
    """Where two drafts differ; against none, all that is written."""
    old = {table.id: table for table in before.tables()} if before else {}
    if before and [step.id for step in trial.steps] != [step.id for step in before.steps]:
        yield ORDER
    for table in trial.tables():
        was = old.get(table.id)
        if was is None and before and table in trial.steps:
            continue  # a step that is new stands or goes with the order
        there = was.written if was else {}
        yield from ((table.id, key) for key in (*table.written, *there) if table.written.get(key) != there.get(key))


def _give_way(trial: Draft, before: Draft | None, entry: Entry) -> None:
    old = {table.id: table for table in before.tables()} if before else {}
    if entry == ORDER:
        assert before is not None
        now = {table.id: table for table in trial.steps}
        trial.steps = [now.get(step.id, copy.deepcopy(step)) for step in before.steps]
        return
    number, key = entry
    table = next(table for table in trial.tables() if table.id == number)
    was = old.get(number)
    if was is not None and key in was.written:
        table.written[key] = was.written[key]
    else:
        table.written.pop(key, None)
        _first(table, key)
    table.wrong.pop(key, None)


def _first(table: Table, key: str) -> None:
    """A new step's entry that has to be given stands as a new step has it."""
    said = STEPS[table.kind].entries().get(key) if table.kind in STEPS else None
    if said is not None and said.first:
        table.written[key] = said.first


def _of(draft: Draft, complaint: Complaint) -> Complaint:
    """A complaint with the form's own table, where the form still has it."""
    if complaint.table is None:
        return complaint
    return complaint._replace(table=next((t for t in draft.tables() if t.id == complaint.table.id), None))
