"""Papers of a plan: each must sand out the scratches before it, suit what it sands, and meet a clean panel."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from coursekit.panel.tools import EASE
from coursekit.repair.case import CLEAN
from coursekit.repair.condition import FEW, Condition
from coursekit.repair.entry import Entry, SandEntry
from coursekit.repair.finding import PlanFinding
from coursekit.repair.playing import Replay
from coursekit.repair.readiness import RECOAT_MARGIN, deepest_scratch, grain_of, seen_scratch
from coursekit.repair.steps import ByHand, Spray, WithPaper
from coursekit.repair.vocabulary import COLOUR
from coursekit.repair.words import Reason
from coursekit.sanding import seen_width
from coursekit.sanding.blocks import Block
from coursekit.sanding.progression import MOST_STROKES, SHAPING, judged, papers_between
from coursekit.sources import coefficient
from coursekit.uncertain import Band


def papers(replay: Replay) -> Iterator[PlanFinding]:
    """Each paper must sand out the scratches of those before it, with enough film for it; a coat may fill them."""
    before = _before_each(replay)
    for group in _sanded_in_a_row(replay):
        for entry in group:
            yield from _no_film_for(before[entry.step.number - 1], entry)
        last = group[-1]
        large = [found for pair in pairwise(group) for found in _too_large(replay, *pair, last)]
        yield from large
        left = _coarsest_left(last)
        if left and not any(last.step.number in one.steps for one in large):
            begun = next((entry.step.number for entry in reversed(group[:-1]) if entry.used.paper == left), None)
            steps = (last.step.number,) if begun is None else (begun, last.step.number)
            yield _unburied(replay, steps, left, before[last.step.number - 1], last)


def _too_large(replay: Replay, first: SandEntry, then: SandEntry, last: SandEntry) -> Iterator[PlanFinding]:
    """Two papers in a row on the same place whose grains are too far apart, and no coat to fill what stays."""
    coarse, fine = grain_of(first.used.paper), grain_of(then.used.paper)
    if not fine or coarse / fine <= SHAPING or not _overlap(first.step.area, then.step.area):
        return
    coming = next((entry for entry in replay[last.step.number :] if entry.step.brings), None)
    if coming is not None and _fills(replay, coming, deepest_scratch(first.condition)):
        return
    reason = Reason(
        True,
        f"{then.used.paper} follows {first.used.paper}, whose grains are {{0}} times as large: "
        "some deep scratches easily remain",
        (("size_ratio", coarse / fine),),
    )
    yield PlanFinding(
        "papers",
        (first.step.number, then.step.number),
        reason,
        f"Put {' and '.join(papers_between(first.used.paper, then.used.paper))} between.",
    )


def _overlap(one: tuple[float, ...] | None, other: tuple[float, ...] | None) -> bool:
    if one is None or other is None:
        return True
    return one[0] < other[1] and other[0] < one[1] and one[2] < other[3] and other[2] < one[3]


def _before_each(replay: Replay) -> Sequence[Condition | None]:
    return [None, *(entry.condition for entry in replay)]


def _sanded_in_a_row(replay: Replay) -> Iterator[list[SandEntry]]:
    """Steps that sand with no coat between them, group by group."""
    group: list[SandEntry] = []
    for entry in replay:
        if entry.step.brings and group:
            yield group
            group = []
        elif isinstance(entry, SandEntry) and entry.used.removed:
            group.append(entry)
    if group:
        yield group


def _coarsest_left(entry: SandEntry) -> str:
    """A coarser paper whose scratches are left after a step, on more than a few places; empty when there is none."""
    after, own = entry.condition, grain_of(entry.used.paper)
    if after.paper != entry.used.paper and grain_of(after.paper) > own:
        return after.paper
    if after.other_paper > FEW:
        return max((paper for paper in entry.panel.papers if grain_of(paper) > own), key=grain_of, default="")
    return ""


def _no_film_for(before: Condition | None, entry: SandEntry) -> Iterator[PlanFinding]:
    """A finer paper set to sand scratches out of a film that is thinner than they are deep.

    Filler runs out to nothing at its rim, over paint that the surfacer covers.
    """
    if before is None or before.scratch <= 0 or grain_of(before.paper) <= grain_of(entry.used.paper):
        return
    sanded = max(entry.used.removed, key=lambda name: entry.used.removed[name])
    deep = deepest_scratch(before)
    if sanded != "filler" and sanded in before.film and before.film[sanded].thin < deep:
        figures = (("scratch_depth", deep), ("film", before.film[sanded].thin))
        reason = Reason(
            True,
            f"scratches of {before.paper} are {{0}} deep, but only {{1}} of {sanded} is there "
            f"where it is thinnest: {entry.used.paper} goes through before they are out",
            figures,
        )
        yield PlanFinding(
            "papers",
            (entry.step.number,),
            reason,
            "First lay a coat that fills them, {0} dry or more.",
            (("film", RECOAT_MARGIN * deep),),
        )


def _unburied(
    replay: Replay, steps: tuple[int, ...], left: str, before: Condition | None, last: SandEntry
) -> PlanFinding:
    own = last.condition.paper == left
    deep = deepest_scratch(last.condition if own or before is None else before)
    share = (1 if own else 0) + (-1 if own else 1) * last.condition.other_paper
    reason = Reason(
        True,
        f"{last.step.words} leaves scratches of {left}, up to {{0}} deep, on {{1}} of the repair",
        (("scratch_depth", deep), ("remaining", share)),
    )
    coming = next((entry for entry in replay[last.step.number :] if entry.step.brings), None)
    if coming is not None and _fills(replay, coming, deep):
        return PlanFinding(
            "papers",
            steps,
            reason._replace(against=False),
            f"The {coming.step.brings} of step {coming.step.number} has to fill them.",
        )
    if not isinstance(last.step, WithPaper):
        return PlanFinding("papers", steps, reason, "Sand with a finer paper before the compound.")
    strokes = _strokes(replay, left, last, deepest_scratch(before) if before else deep)
    if strokes is None:
        return PlanFinding("papers", steps, reason, f"Sand longer with {last.used.paper}, or put a paper between.")
    figures = (("plain", strokes.middle), ("plain", strokes.high))
    if strokes.middle > MOST_STROKES:
        return PlanFinding(
            "papers",
            steps,
            reason,
            "Put a paper between the two: sanding them out in one step takes {0} to {1} strokes over each spot.",
            figures,
        )
    return PlanFinding(
        "papers",
        steps,
        reason,
        f"Give {last.used.paper} {{0}} to {{1}} strokes over each spot, or put a paper between.",
        figures,
    )


def _fills(replay: Replay, coming: Entry, deep: float) -> bool:
    """Whether the next film fills scratches, or in the case of colour hides them."""
    if coming.step.brings in COLOUR:
        return seen_scratch(replay.recipe, deep)[1] <= float(seen_width.si("point lamp"))
    return not isinstance(coming.step, Spray) or coming.step.planned_film(replay.recipe) >= RECOAT_MARGIN * deep


def _strokes(replay: Replay, left: str, last: SandEntry, deep: float) -> Band | None:
    """Strokes over each spot with which the last paper takes off a scratch of that depth."""
    sanded = max(last.used.removed, key=lambda name: last.used.removed[name])
    if not isinstance(last.step, ByHand) or sanded not in replay.recipe.materials:
        return None
    tool = last.step.holds()
    pair = judged(
        "metric",
        [left, last.used.paper],
        last.step.force,
        Block(tool.length, tool.width),
        replay.recipe.materials[sanded]["hardness"],
        5e-3,
        cutting_ease=coefficient(f"cutting_ease_{EASE[sanded]}"),
    )[1]
    return Band(*(end * deep / pair.film.middle for end in pair.strokes))


# --- degreasing --------------------------------------------------------------------------------------------


def degreasing(replay: Replay) -> Iterator[PlanFinding]:
    """Sanding or paint on wax, grease and silicone: what is rubbed in or trapped stays to the end."""
    before = _before_each(replay)
    for sanding, words, remedy in (
        (
            True,
            "sanded with {0} of the wax and grease still on it: the paper rubs it into the scratches",
            "Wash, then wipe with wax-and-grease remover before the first paper: one cloth wet, one dry.",
        ),
        (
            False,
            "laid over {0} of the wax and grease, on it or in its scratches: it may crater or peel",
            "Wipe, sand the scratches that hold it away, wipe again, then lay it.",
        ),
    ):
        start = float(replay.start.contamination.max())
        found = [
            (entry.step.number, _dirt(before[entry.step.number - 1], sanding, start))
            for entry in replay
            if (isinstance(entry, SandEntry) if sanding else entry.step.brings)
        ]
        steps = tuple(number for number, dirt in found if dirt > CLEAN)
        if steps:
            worst = max(dirt for _, dirt in found)
            yield PlanFinding("degreasing", steps, Reason(True, words, (("remaining", worst),)), remedy)


def _dirt(condition: Condition | None, sanding: bool, start: float) -> float:
    if condition is None:
        return start
    return condition.dirt if sanding else max(condition.dirt, condition.rubbed_in)
