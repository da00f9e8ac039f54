"""A repair proposed: rules make the steps, the computed panel says how much of each, and straying hands if it holds.

found = repair.propose(damage.load("DAMAGE.toml"))
found.text()        what is proposed, what it takes, what binds – or why nothing is, and what would change that
found.recipe        to be played, changed, printed
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

import numpy as np

from coursekit.quantities import InputError
from coursekit.repair.condition import FEW
from coursekit.repair.damage import Damage
from coursekit.repair.entry import Entry
from coursekit.repair.outcome import outcome_of
from coursekit.repair.outline import CELL, USUAL_STROKES, Choice, Outline, coats_for, needs_filler, usual_films
from coursekit.repair.plan import plan_checks
from coursekit.repair.playing import Replay, replay
from coursekit.repair.readiness import KIND
from coursekit.repair.recipe import Recipe, from_document, with_hand
from coursekit.repair.repeating import Run, run_one
from coursekit.repair.rules import rule
from coursekit.repair.sequences import is_polished_out, outline, without_steps
from coursekit.repair.steps import Sand, Wait
from coursekit.sanding.progression import MOST_STROKES
from coursekit.tomlfile import Document

HANDS = 10
FINE = 5e-3  # m, the grid on which a plan is played; rough looks and hands take that of the outline
HOLDING = 0.9  # of the hands in which every verdict must be "go on"
LOOKS = 14  # rough looks at a kind of plan
STRIDE = 0.35  # of the walk, in the logarithm of strokes
MOVED = 0.5  # share of the steps that each stride changes
LEAST_STROKES = 10.0
LEAST_LEFT = 20e-6  # m of surfacer that should be left where it is thinnest (assumed)
SPARE = 0.75  # of a limit that a plan uses up by a steady hand: the rest is for hands that stray (assumed)
LEVELS = ("filler shape", "filler level", "filler finish", "level", "level short")
WIDTH = 0.07  # m of a block, which lies across the tighter crown
TRIED = 2.1  # times the height under it at which a board is tried all the same: the panel decides
MENDS = 3  # times that a plan is given more of what failed, before another is tried
MORE = 1.35  # times the strokes
Progress = Callable[[str, float], Any]


class Figures(NamedTuple):
    """What a plan takes: s of work, s to the last coat, its film (m), paint mixed (m³), solids that missed (m³)."""

    work: float
    until_clear: float
    film: float
    paint: float
    mist: float

    def of(self, least: str) -> float:
        """The figure that there should be least of."""
        return {"hours": self.until_clear, "film": self.film, "paint": self.paint, "mist": self.mist}[least]


@dataclass(frozen=True)
class Plan:
    """One plan that was played: its choice, its steps with reasons, its replay, and with how many hands it held."""

    choice: Choice
    outline: Outline
    played: Replay
    figures: Figures
    held: int = 0
    hands: int = 0
    failed: tuple[tuple[int, int], ...] = ()  # step → hands to which it happened

    @property
    def recipe(self) -> Recipe:
        return self.played.recipe

    @property
    def holds(self) -> bool:
        """Whether nine hands in ten come through."""
        return self.hands > 0 and self.held >= HOLDING * self.hands - 1e-9


class Seen(NamedTuple):
    """A rough look: what is lacking and what it takes, and the roles of the steps that are short of strokes."""

    score: tuple[float, float]
    short: tuple[str, ...]


class Stopped(Exception):
    """The caller's progress said to stop."""


class Search:
    """The search for one damage; `told` is called with what it does and the share that is done."""

    def __init__(self, damage: Damage, hands: int, told: Progress | None, executor: Executor | None) -> None:
        self.damage, self.hands, self.told, self.executor = damage, hands, told, executor
        self.bare = without_steps(damage)
        self.binds: list[str] = []
        self.done = 0.0

    def tell(self, words: str, share: float) -> None:
        self.done = max(self.done, share)
        if self.told is not None and self.told(words, self.done) is False:
            raise Stopped

    # --- recipes ---

    def written(self, choice: Choice, cell: float = CELL) -> tuple[Outline, Recipe]:
        """The steps of a choice and their recipe, on a grid."""
        made = outline(self.damage, choice, self.bare)
        tables = {**made.tables, "panel": {**made.tables["panel"], "cell": f"{cell * 1e3:g} mm"}}
        return made, from_document(Document.of_tables(tables, self.damage.name))

    # --- a rough look ---

    def sought(self, choice: Choice, looks: int, share: float) -> tuple[Choice, float]:
        """The choice that a walk from this one ends at, and what it still lacks: by rough looks, so many of them.

        What lacks less is better, and of what lacks nothing that with less of what is wished for. Where steps ask for
        more strokes they get them; else each stride strays from the best so far.
        """
        random = np.random.default_rng(1)
        best, found, stride = choice, self.look(choice), STRIDE
        for count in range(looks):
            self.tell(f"looking for a plan: {count + 1} of {looks}", share + 0.3 * count / looks)
            directed = bool(found.short) and count % 3 < 2
            tried = self.given_more(best, found.short) if directed else self.strayed(best, random, stride)
            seen = self.look(tried)
            if seen.score < found.score:
                best, found, stride = tried, seen, min(stride * 1.3, 2 * STRIDE)
            elif directed:
                found = found._replace(short=())  # more strokes do not help
            else:
                stride = max(stride * 0.9, STRIDE / 3)
        return best, found.score[0]

    def given_more(self, choice: Choice, roles: tuple[str, ...]) -> Choice:
        """More strokes of those steps."""
        for role in roles:
            strokes = choice.strokes.get(role, USUAL_STROKES[role])
            choice = choice.with_strokes(role, min(strokes * 1.5, MOST_STROKES))
        return choice

    def strayed(self, choice: Choice, random: np.random.Generator, stride: float) -> Choice:
        """Another choice near by: strokes, films and areas strayed, within what the rules allow."""
        factors = np.exp(
            stride * random.standard_normal(len(USUAL_STROKES)) * (random.random(len(USUAL_STROKES)) < MOVED)
        )
        strokes = {
            role: float(min(max(choice.strokes.get(role, usual) * factor, LEAST_STROKES), MOST_STROKES))
            for (role, usual), factor in zip(USUAL_STROKES.items(), factors, strict=True)
        }
        films = dict(choice.films)
        for kind in ("surfacer",):
            one = rule("coats.surfacer" if needs_filler(self.damage) else "coats.surfacer-on-paint")
            film = float(
                np.clip(films[kind][0] * math.exp(0.5 * stride * random.standard_normal()), one.low, one.high)
            )
            films[kind] = film, coats_for(kind, film, self.bare.materials)
        lengths: dict[str, Any] = {}
        for name, key in (("filled", "reach.filler"), ("around", "reach.surfacer"), ("feather", "reach.feather")):
            one = rule(key)
            lengths[name] = float(
                np.clip(getattr(choice, name) + stride * 0.03 * random.standard_normal(), one.low, one.high)
            )
        return replace(choice, strokes=strokes, films=films, **lengths)

    def look(self, choice: Choice) -> Seen:
        """A choice by a rough look."""
        try:
            made, recipe = self.written(choice)
            played = replay(recipe, preview=True)
        except InputError:
            return Seen((math.inf, math.inf), ())
        lack = sum(max(part, 0.0) for part in self.lacks(played))
        short = tuple(
            step.role
            for step, entry in zip(made.steps, played, strict=True)
            if step.role and self.unfinished(entry) > 0
        )
        return Seen((lack, figures_of(played).of(self.damage.wish.least)), short)

    def unfinished(self, entry: Entry) -> float:
        """By how much more than a few places still show an earlier paper or guide coat: more strokes there."""
        after = entry.condition
        if entry.verdict.go:
            return 0.0
        left = 1.0 if after.paper not in ("", entry.used.paper) else after.other_paper
        return min(max(left / (0.5 * FEW), after.guide_coat / (0.5 * FEW)) - 1, 3.0) / 3

    def lacks(self, played: Replay) -> Iterator[float]:
        """Each limit over which a plan is, or short of which it stays, as a share of that limit; a spare is kept."""
        for entry in played:
            unfinished = self.unfinished(entry) if isinstance(entry.step, Sand) else 0.0
            yield unfinished
            wrong = sum(reason.against and "waves" not in reason.words for reason in entry.verdict.reasons)
            yield max(wrong - (unfinished > 0), 0)
        sanded = [entry for entry in played if isinstance(entry.step, Sand)]
        if not sanded:
            return
        last = sanded[-1].condition
        yield last.waves / (SPARE * KIND) - 1
        if last.paper == sanded[-1].used.paper:
            yield last.other_paper / (0.5 * FEW) - 1
        if "surfacer" in last.film:
            yield 1 - last.film["surfacer"].thin / LEAST_LEFT

    # --- plans ---

    def play(self, choice: Choice) -> Plan:
        made, recipe = self.written(choice, FINE)
        played = replay(recipe)
        return Plan(choice, made, played, figures_of(played))

    def mended(self, choice: Choice) -> Plan:
        """The plan of a choice, with more strokes where its exact replay says "not yet"."""
        plan = self.play(choice)
        for _ in range(MENDS):
            role = self.failing_role(plan, [entry.step.number for entry in plan.played.not_yet])
            if role is None:
                break
            plan = self.play(plan.choice.with_strokes(role, min(self.strokes(plan, role) * MORE, MOST_STROKES)))
        return plan

    def strokes(self, plan: Plan, role: str) -> float:
        return plan.choice.strokes.get(role, USUAL_STROKES[role])

    def failing_role(self, plan: Plan, numbers: list[int]) -> str | None:
        """The step to give more strokes when one of these fails: the last that levels or sands before it."""
        if not numbers:
            return None
        entry = plan.played[numbers[0] - 1]
        wavy = entry.condition.waves > KIND
        for step in reversed(plan.outline.steps[: numbers[0]]):
            if step.role and (not wavy or step.role in LEVELS):
                return step.role if self.strokes(plan, step.role) < MOST_STROKES else None
        return None

    def with_hands(self, plan: Plan, share: float) -> Plan:
        """The plan played by many hands, until it is plain whether nine in ten come through."""
        coarse = self.written(plan.choice)[1]
        recipes = [with_hand(coarse, seed, self.damage.wish.hand) for seed in range(1, self.hands + 1)]
        bad: dict[int, int] = {}
        held = 0
        for count, run in enumerate(self.runs(recipes), 1):
            self.tell(f"hand {count} of {self.hands}", share + 0.3 * count / self.hands)
            wrong = run.not_yet or ((0,) if run.failed else ())
            held += not wrong
            for number in wrong[:1]:
                bad[number] = bad.get(number, 0) + 1
            if count - held > (1 - HOLDING) * self.hands + 1e-9:
                return replace(plan, held=held, hands=count, failed=tuple(sorted(bad.items())))
        return replace(plan, held=held, hands=self.hands, failed=tuple(sorted(bad.items())))

    def runs(self, recipes: list[Recipe]) -> Iterator[Run]:
        if self.executor is None:
            for recipe in recipes:
                yield run_one(recipe, remember=False)
        else:
            yield from self.executor.map(run_one, recipes)

    # --- the search ---

    def choices(self) -> Iterator[Choice]:
        """What is tried, from the least work on: one round of surfacer, more of it, a recoat, primer under all."""
        films = usual_films(self.damage, self.bare.materials)
        machine = "machine soft pad" in self.tools
        wide = rule("reach.feather").value if needs_filler(self.damage) else rule("reach.feather").high
        usual = Choice(films=films, machine=machine, primed=self.must_prime, feather=wide)
        laps = (usual.filled, rule("reach.filler").high / 2) if needs_filler(self.damage) else (usual.filled,)
        begun = [
            replace(usual, long=long, short=short, filled=filled)
            for long, short in blocks_for(self.damage, self.tools)
            for filled in laps
        ]
        usual = min(begun, key=lambda one: self.look(one).score) if len(begun) > 1 else begun[0]
        if is_polished_out(self.damage) or self.damage.damage.reaches == "clear":
            yield usual
            return
        yield usual
        if not needs_filler(self.damage) and "filler" in self.materials:
            thick = rule("coats.surfacer").value
            yield replace(usual, skim=True, primed=False, films={**films, "surfacer": (thick, films["surfacer"][1])})
        yield replace(usual, recoat=True)
        if not usual.primed and "epoxy primer" in self.materials:
            yield replace(usual, primed=True)

    @property
    def must_prime(self) -> bool:
        """Bare sheet that no filler covers gets a corrosion-protecting primer; plastic does not rust."""
        bare = self.damage.damage.reaches in ("bare", "old filler")
        return bare and not needs_filler(self.damage) and self.damage.panel.made_of != "plastic"

    @property
    def tools(self) -> tuple[str, ...]:
        found = self.damage.stock.tools
        return USUAL_TOOLS if found is None or self.damage.stock.buy == "yes" else found

    @property
    def materials(self) -> tuple[str, ...]:
        found = self.damage.stock.materials
        return tuple(self.bare.materials) if found is None or self.damage.stock.buy == "yes" else found

    def best(self) -> Plan | None:
        """The plan with the least of what is wished for that holds; else the one that comes nearest."""
        found: list[Plan] = []
        tried = list(self.choices())
        for count, choice in enumerate(tried):
            share = count / len(tried)
            choice, lack = self.sought(choice, LOOKS, share)
            if lack >= 1 and count + 1 < len(tried):
                continue
            plan = self.mended(choice)
            if plan.played.not_yet or against(plan.played):
                found.append(plan)
                continue
            plan = self.steady(plan, share)
            found.append(plan)
            if plan.holds:
                break
        holding = [plan for plan in found if plan.holds]
        if holding:
            return min(holding, key=lambda plan: plan.figures.of(self.damage.wish.least))
        return min(found, key=lambda plan: (len(plan.played.not_yet), -plan.held), default=None)

    def steady(self, plan: Plan, share: float) -> Plan:
        """The plan with as many more strokes as nine hands in ten ask for."""
        plan = self.with_hands(plan, share)
        for _ in range(MENDS - 1):
            if plan.holds or not plan.failed:
                break
            role = self.failing_role(plan, [number for number, _ in plan.failed if number])
            if role is None:
                break
            more = self.play(plan.choice.with_strokes(role, min(self.strokes(plan, role) * MORE, MOST_STROKES)))
            if more.played.not_yet:
                break
            plan = self.with_hands(more, share)
        return plan


BLOCKS = ("hand block", "rubber block", "foam block")
USUAL_TOOLS = (*BLOCKS, "long board", "soft pad", "machine soft pad", "polishing pad")


def blocks_for(damage: Damage, there: tuple[str, ...]) -> list[tuple[str, str]]:
    """What may level the long waves, and what follows it: by the width of the work and the crown under their length.

    A stiff block lies safely on a gentle crown; on more of it the ones that bend are tried as well.
    """
    crown, most = sorted(abs(bend) for bend in damage.shape.crown)
    safe, bends = rule("block.sagitta").value, rule("block.bends").value

    def height(length: float) -> float:
        return length**2 / 8 * crown

    stiff = height(0.125) < safe and WIDTH**2 / 8 * most < safe
    wanted = ("hand block",) if stiff else ("hand block", "rubber block")
    if height(0.125) > bends / 3:
        wanted = ("rubber block", "foam block")
    short = [tool for tool in wanted if tool in there] or [tool for tool in BLOCKS if tool in there] or ["hand block"]
    pairs = [(tool, tool) for tool in short]
    if height(0.4) <= TRIED * bends and "long board" in there:
        pairs = [*([] if height(0.4) <= 1.01 * bends else pairs), *(("long board", tool) for tool in short)]
    return pairs


def against(played: Replay) -> list[str]:
    """What the plan checks find against a plan."""
    return [found.text() for found in plan_checks(played) if found.against]


def figures_of(played: Replay) -> Figures:
    """What a plan takes."""
    totals, end = played.totals, played[-1].condition
    work = sum(entry.used.time for entry in played if not isinstance(entry.step, Wait))
    last = played[-1].began if isinstance(played[-1].step, Wait) else played[-1].ended
    solids = [paint.solids for name, paint in totals.paint.items() if name != "filler"]
    missed = sum(one.laid - one.panel for one in solids)
    film = sum(one.mean for name, one in end.film.items() if name != "filler")
    return Figures(float(work), float(last), float(film), float(outcome_of(played).mixed), float(missed))
