"""A repair proposed: rules make the steps, the computed panel says how much of each, and straying hands if it holds.

found = repair.propose(damage.load("DAMAGE.toml"))
found.text()        what is proposed, what it takes, what binds – or why nothing is, and what would change that
found.recipe        to be played, changed, printed
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import replace
from typing import Any, NamedTuple

from coursekit.quantities import InputError
from coursekit.repair import timetable
from coursekit.repair.clocking import by_the_clock, fitted_to
from coursekit.repair.damage import Damage
from coursekit.repair.entry import Entry
from coursekit.repair.holding import USUAL_TOOLS, blocks_for
from coursekit.repair.looking import Look, near
from coursekit.repair.outline import (
    USUAL_STROKES,
    Choice,
    Outline,
    coats_for,
    is_polished_out,
    missing_papers,
    needs_filler,
    usual_films,
)
from coursekit.repair.planned import HOLDING, Easing, Plan, against, figures_of
from coursekit.repair.playing import replay
from coursekit.repair.readiness import KIND
from coursekit.repair.recipe import Recipe, from_document, with_hand
from coursekit.repair.rules import rule
from coursekit.repair.sharing import begin, in_turn
from coursekit.repair.steps import Sand
from coursekit.repair.stocked import Missing, with_stock
from coursekit.repair.walking import LOOK, RESERVE, SPARED, Progress, Walk
from coursekit.tomlfile import Document

HANDS = 10
FINE = 5e-3  # m, the grid on which a plan is played
MENDED = 0.1  # of a limit, that a few moves find (assumed)
FAR = 0.4  # of a limit, that strokes hardly find: another kind of plan that lacks little is tried first (assumed)
HOPELESS = 0.2  # of a limit, that the hands that failed still pass: others are not asked (assumed)
SHORT, LOOKS = 8, 12  # looks until another kind of plan is asked, and at a kind of plan after them
VARIED = 0.95  # of a limit that a hand which failed may use up, when it is looked at itself (assumed)
TURNS = 2  # in which hands that failed are looked at so, with those of the turns before (assumed)
CLOSER = 0.85  # times as much may be used up after a play that passed what its look did not (assumed)
THINNER = 1.0, 0.5  # of the way from the usual film to the thinnest: colour and clear, where film is to be spared
STEADIER = 0.1, 0.06  # hands that stray less, and …
SMALLER = 0.6, 0.35  # … shares of the damage, that are tried where no plan holds
# Shares of the usual strokes in filler, coarse and fine paper, that are tried where much is lacking (computed): the
# coarse one stops while filler stands a little proud, the fine one, which goes beyond the filler, brings it level.
SHARES = (0.7, 1.5), (0.5, 1.5), (0.7, 1.0), (0.5, 2.2)
BY_STROKES = frozenset({"waves", "scratches", "guide coat"})  # lacks that a second film on top does not mend


class Handed(NamedTuple):
    """What a hand that strays is given: the plan, and its panel as a steady hand sanded it, for the coats."""

    damage: Damage
    outline: Outline
    recipe: Recipe
    sanded: tuple[Entry, ...]


class Search(Walk):
    """The search for one damage; `told` is called with what it does and the share that is done."""

    def __init__(self, damage: Damage, hands: int, told: Progress | None, executor: Executor | None) -> None:
        super().__init__(damage, told, executor)
        self.hands, self.asked = hands, 0  # hands that judge a plan, and how many have judged
        self.lacking: frozenset[str] = frozenset()  # what the last plan's limits are about that it passes
        self.eased: dict[str, None] = {}  # what was changed to see whether a plan then holds

    # --- plans ---

    def play(self, choice: Choice) -> Plan:
        made, recipe = self.written(choice, FINE)
        unfit = ""
        if self.damage.hours or recipe.forecast is not None:
            fitted = fitted_to(replay(recipe, preview=True), self.damage)
            if isinstance(fitted, timetable.Unfit):
                unfit = fitted.text()
            else:
                made = by_the_clock(made, fitted, bool(self.damage.hours))
                recipe = from_document(Document.of_tables(made.tables, self.damage.name))
        played = replay(recipe)
        return Plan(choice, made, played, figures_of(played), unfit=unfit)

    def with_hands(self, plan: Plan, share: float, part: float = 0.3) -> Plan:
        """The plan judged by hands it was not sought with, until it is plain whether nine in ten come through."""
        bad: dict[int, int] = {}
        held = 0
        seeds = tuple(range(self.asked + 1, self.asked + self.hands + 1))
        self.asked += self.hands
        plan = replace(plan, judged=seeds)
        played = in_turn(self.executor, _fails_with, self.handed(plan), seeds)
        for count, (seed, wrong) in enumerate(zip(seeds, played, strict=True), 1):
            self.tell(f"hand {count} of {self.hands}", share + part * count / self.hands)
            held += wrong is None
            if wrong is not None:
                plan = replace(plan, failing=(*plan.failing, seed))
                bad[wrong] = bad.get(wrong, 0) + 1
            if count - held > (1 - HOLDING) * self.hands + 1e-9:
                return replace(plan, held=held, hands=count, failed=tuple(sorted(bad.items())))
        return replace(plan, held=held, hands=self.hands, failed=tuple(sorted(bad.items())))

    def handed(self, plan: Plan) -> Handed:
        """What the hands are given of a plan."""
        sanded = plan.played[: max(plan.outline.numbers("finish"), default=len(plan.played))]
        panel = sanded[-1].panel  # the earlier ones are of no use to what is sprayed
        return Handed(self.damage, plan.outline, plan.recipe, tuple(replace(one, panel=panel) for one in sanded))

    def fails_with(self, handed: Handed, seed: int) -> int | None:
        """The first step after which a hand may not go on: it sands near the repair, and sprays the steady panel."""
        hand = with_hand(handed.recipe, seed, self.damage.wish.hand)
        try:
            by_hand, number = near(handed.outline, hand), len(handed.sanded)
            sanded = replay(by_hand, remember=False, preview=LOOK, until=number)
            sprayed = replay(hand, remember=False, on=handed.sanded)[number:]
        except InputError as error:
            return next((place + 1 for place in error.problems[0].where if isinstance(place, int)), 0)
        wrong = [entry.step.number for entry in (*sanded, *sprayed) if not entry.verdict.go]
        return wrong[0] if wrong else None

    # --- the search ---

    def kinds(self, lacking: frozenset[str]) -> list[Callable[[Choice], Choice]]:
        """What is tried beside one round of each, by what was lacking: filler, a second one, surfacer."""
        if is_polished_out(self.damage) or self.damage.reaches == "clear":
            return []
        films = usual_films(self.damage, self.bare.materials)
        found: list[Callable[[Choice], Choice]] = []
        if needs_filler(self.damage):
            found.append(lambda one: replace(one, again=True))
        elif "filler" in self.materials:
            thick = rule("coats.surfacer").value, films["surfacer"][1]
            found.append(lambda one: replace(one, skim=True, primed=False, films={**one.films, "surfacer": thick}))
        if "epoxy primer" in self.materials and not self.must_prime and lacking - BY_STROKES:
            found.append(lambda one: replace(one, recoat=True, primed=True))
        return found

    def first(self) -> Choice:
        """One round of surfacer, with the least work."""
        films = usual_films(self.damage, self.bare.materials)
        if needs_filler(self.damage):  # it levels what filler leaves: begun with thin, and thicker where it must be
            thin = rule("coats.surfacer").low
            films["surfacer"] = thin, coats_for("surfacer", thin, self.bare.materials)
        return self.begun(Choice(films=films, machine="machine soft pad" in self.tools, primed=self.must_prime))

    def begun(self, usual: Choice) -> Choice:
        """Where the search begins: of the blocks and feathers that leave least after the filler, the better one."""
        if not needs_filler(self.damage):
            wide = replace(usual, feather=rule("reach.feather").high)
            blocks = [replace(wide, long=a, short=b) for a, b in self.blocks()]
            return min(zip(self.each(_look_at, blocks), blocks, strict=True), key=lambda one: one[0].score)[1]
        one = rule("reach.feather")
        waves = self.by_filler([replace(usual, long=a, short=b, feather=one.low) for a, b in self.blocks()])
        waves += self.by_filler([replace(near, feather=one.value) for _, near in waves[:2]])
        left = [near for _, near in sorted(waves, key=lambda each: each[0])]
        found = self.near_enough(left[:3])
        if found[0][0][0] <= 0:
            return found[0][2]
        between = math.sqrt(one.low * one.value)
        wider = [replace(near, feather=between) for near in left[:2]]
        others = self.near_enough([*wider, *(replace(near, again=True) for near in left[:2])], 1)
        return min(found[0], others[0], key=lambda one: one[:2])[2]

    def by_filler(self, choices: Sequence[Choice]) -> list[tuple[float, Choice]]:
        """Choices by the waves that their filler leaves, times the limit; of equals the first one first."""
        waves = self.each(_left_by_filler, choices)
        return sorted(zip(waves, choices, strict=True), key=lambda one: one[0])

    def near_enough(self, choices: Sequence[Choice], after: int = 0) -> list[tuple[tuple[float, float], int, Choice]]:
        """Choices by their looks, where a few moves mend what lacks little: of two such the one that takes less.

        Of two that lack about as much, the one whose filler is straighter.
        """
        found = []
        for place, (seen, choice) in enumerate(zip(self.each(_look_at, choices), choices, strict=True), after):
            lack, takes = seen.score
            far = max(lack - MENDED, 0.0) / (2 * MENDED)
            about = float(math.ceil(far)) if math.isfinite(far) else far
            found.append(((about, 0.0 if about else takes), place, choice))
        return sorted(found, key=lambda one: one[:2])

    def each(self, work: Callable[[Damage, Choice], Any], choices: Sequence[Choice]) -> list[Any]:
        """What comes of each choice, by two processes where there are two."""
        return list(in_turn(self.executor if len(choices) > 1 else None, work, self.damage, choices))

    def blocks(self) -> list[tuple[str, str]]:
        return blocks_for(self.damage, self.tools)

    @property
    def must_prime(self) -> bool:
        """Bare sheet that no filler covers gets a corrosion-protecting primer; plastic does not rust."""
        bare = self.damage.reaches in ("bare", "old filler")
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
        few = self.hands < 2 or is_polished_out(self.damage)  # done before another process has begun
        self.executor = None if few else begin(self.executor, _ready)
        plan = self.thinner(self.nearest(self.first()))
        plan = replace(plan, binds=self.binds(plan.choice))
        if plan.holds:
            return plan
        tried = [] if is_polished_out(self.damage) else dict.fromkeys(one for pair in self.blocks() for one in pair)
        possible = self.possible(plan)
        return replace(plan, blocks=tuple(tried), possible=possible, eased=tuple(self.eased))

    def nearest(self, begun: Choice) -> Plan:
        """The plan that holds, of the kind that lacks nothing first; else the one that comes nearest."""
        self.spare = SPARED
        choice, lack = self.sought(begun, SHORT, 0.0, 0.1)
        if lack > RESERVE and needs_filler(self.damage):
            choice, lack = self.shaped_anew(choice, lack)
        found: list[Plan] = []
        ways = [choice]
        if lack > FAR:
            others = [kind(choice) for kind in self.kinds(self.look(choice).lacking)]
            ways = [*(one for one in others if self.look(one).score[0] <= MENDED), choice]
        for way in ways:
            found.append(self.steady(way, 0.1, 0.2))
            if found[-1].holds:
                return found[-1]
        for kind in self.kinds(self.lacking):
            if (way := kind(choice)) not in ways:
                found.append(self.steady(way, 0.3, 0.2))
                if found[-1].holds:
                    return found[-1]
        best = max(found, key=lambda plan: (-len(plan.played.not_yet), plan.held))
        return self.with_those_that_failed(best, 0.5, 0.4)

    def shaped_anew(self, choice: Choice, lack: float) -> tuple[Choice, float]:
        """The choice, or with its filler shaped in other shares by the coarse and the fine paper, if that lacks less.

        The walk moves one thing at a time, and does not come over where less of one needs more of the other.
        """
        tried = [shaped for _, shaped in self.by_filler([worked(choice, shares) for shares in SHARES])[:2]]
        looks = zip(self.each(_look_at, tried), tried, strict=True)
        for seen, one in looks:
            if seen.score[0] < lack:
                choice, lack = one, seen.score[0]
        return choice, lack

    def thinner(self, plan: Plan) -> Plan:
        """A plan that holds with less colour and clear, within the rules, where film or paint is to be spared."""
        least = self.damage.wish.least
        if not plan.holds or least == "hours" or is_polished_out(self.damage):
            return plan
        for share in THINNER:
            films = dict(plan.choice.films)
            for kind in ("base", "clear"):
                one = rule(f"coats.{kind}")
                film = one.value + share * (one.low - one.value)
                films[kind] = film, coats_for(kind, film, self.bare.materials)
            tried = self.play(replace(plan.choice, films=films))
            less = tried.figures.of(least) < plan.figures.of(least)
            if less and not tried.played.not_yet and not against(tried.played):
                tried = self.with_hands(tried, self.done, 0.0)
                if tried.holds:
                    return tried
        return plan

    def possible(self, plan: Plan) -> Easing | None:
        """What would make a plan hold: the first of a few changes with which it does, by looks and by hands."""
        wish, place = self.damage.wish, self.damage.damage
        if (bought := self.bought(plan.choice)) is not None:
            return bought
        if plan.hands:
            for hand in STEADIER:
                if hand < wish.hand:
                    self.eased["hand"] = None
                    damage = replace(self.damage, wish=replace(wish, hand=hand))
                    other = Search(damage, self.hands, self.told, self.executor)
                    other.asked = self.asked
                    if other.with_hands(plan, self.done, 0.0).holds:
                        return Easing("hand", hand)
        for share in SMALLER:
            if needs_filler(self.damage):
                self.eased["depth"] = None
                smaller = replace(place, depth=place.depth * share)
                if self.would_hold(plan.choice, replace(self.damage, damage=smaller)):
                    return Easing("depth", smaller.depth)
        for share in SMALLER:
            self.eased["width"] = None
            x, y = self.damage.corner
            smaller = replace(
                place,
                x=x + (1 - share) / 2 * place.width,
                y=y + (1 - share) / 2 * place.height,
                width=share * place.width,
                height=share * place.height,
            )
            if self.would_hold(plan.choice, replace(self.damage, damage=smaller)):
                return Easing("width", smaller.width)
        return None

    def bought(self, choice: Choice) -> Easing | None:
        """What would have to be there for a plan that holds: each missing thing by itself, then all of them.

        The looks say in which order they are tried; each is sought and played by hands as any plan is.
        """
        missing = self.missing(choice)
        each = [(one,) for one in missing]
        tried = []
        for wanted in (*each, missing) if len(missing) > 1 else each:
            other = Search(with_stock(self.damage, wanted), self.hands, self.told, self.executor)
            other.done = self.done
            begun = other.first()
            self.eased["stock"] = None
            tried.append((len(wanted), other.look(begun).score, wanted, other, begun))
        for *_, wanted, other, begun in sorted(tried, key=lambda one: one[:2]):
            if (plan := other.nearest(begun)).holds:
                return Easing("stock", names=tuple(one.name for one in wanted), held=plan.held, hands=plan.hands)
        return None

    def missing(self, choice: Choice) -> tuple[Missing, ...]:
        """What the stock lacks of what the rules want: papers, blocks for such a crown, films."""
        stock = self.damage.stock
        if stock.buy == "yes":
            return ()
        found = [Missing("papers", one) for one in missing_papers(self.damage)]
        if stock.tools is not None:
            wanted = {one for pair in blocks_for(self.damage, USUAL_TOOLS) for one in pair}
            found += [Missing("tools", one) for one in sorted(wanted - set(stock.tools))]
        if stock.materials is not None and not choice.primed:
            found += [Missing("materials", one) for one in ("epoxy primer", "filler") if one not in stock.materials]
        return tuple(found)

    def would_hold(self, choice: Choice, damage: Damage) -> bool:
        """Whether a few moves from a choice lead to a plan for another damage that passes no limit in a look.

        Where that damage lacks no less than its own does, nothing is moved.
        """
        other, self.spare = Search(damage, self.hands, self.told, self.executor), SPARED
        if other.look(choice).score[0] >= self.look(choice).score[0] > 0:
            return False
        return other.sought(choice, len(other.handles(choice)), self.done, 0.0)[1] <= 0

    def steady(self, choice: Choice, share: float, part: float) -> Plan:
        """The plan to which a choice leads, judged by hands where a steady one comes through."""
        self.spare = SPARED
        choice, lack = self.sought(choice, LOOKS, share, 0.5 * part)
        plan = self.played_exactly(choice, share, part)
        self.lacking = self.look(plan.choice).lacking
        if plan.played.not_yet or against(plan.played):
            return plan
        plan = self.with_hands(plan, share + 0.5 * part, 0.5 * part)
        return self.lessened(plan, share, part) if plan.holds and lack > 0 else plan

    def with_those_that_failed(self, plan: Plan, share: float, part: float) -> Plan:
        """A plan walked on with all the hands that failed, until nine in ten others come through or no more is found.

        A plan is never judged by a hand that it was sought with.
        """
        for _ in range(TURNS if plan.failing else 0):
            tried = self.with_the_failed(plan, share, part)
            if tried is None:
                break
            plan = replace(max(plan, tried, key=lambda one: (one.holds, one.held)), failing=tried.failing)
            if plan.holds:
                break
        return plan

    def played_exactly(self, choice: Choice, share: float, part: float) -> Plan:
        """The plan of a choice; where it passes a limit that its look did not, the walk goes on and spares more."""
        plan = self.play(choice)
        for _ in range(TURNS):
            if not plan.played.not_yet:
                break
            self.spare *= CLOSER
            choice, _ = self.sought(plan.choice, LOOKS, share, part)
            if choice == plan.choice:
                break
            plan = min(plan, self.play(choice), key=lambda one: len(one.played.not_yet))
        return plan

    def with_the_failed(self, plan: Plan, share: float, part: float) -> Plan | None:
        """A plan with which a steady hand gets on, walked on with the hands that failed, and judged by others."""
        self.spare, self.seeds = VARIED, plan.failing
        choice, lack = self.sought(plan.choice, LOOKS, share, 0.3 * part)
        self.lacking = self.seen.lacking
        self.seeds, self.spare = (), SPARED
        if choice == plan.choice or lack - self.look(choice).score[0] > HOPELESS:
            return None
        tried = self.played_exactly(choice, share, part)
        if tried.played.not_yet or against(tried.played):
            return None
        return self.with_hands(replace(tried, failing=plan.failing), share + 0.3 * part, 0.2 * part)

    def lessened(self, plan: Plan, share: float, part: float) -> Plan:
        """A plan that holds though it spares less than was asked for: with less of what is wished for, if that holds.

        No more is spared than the plan itself does, which is known to be enough.
        """
        sanded = [entry for entry in plan.played if isinstance(entry.step, Sand)]
        self.spare = min(1.01 * sanded[-1].condition.waves / KIND, 1.0) if sanded else self.spare
        choice, lack = self.sought(plan.choice, LOOKS, share, part)
        if lack > 0 or choice == plan.choice:
            return plan
        tried = self.play(choice)
        least = self.damage.wish.least
        if tried.played.not_yet or against(tried.played) or tried.figures.of(least) >= plan.figures.of(least):
            return plan
        tried = self.with_hands(tried, share, part)
        return tried if tried.holds else plan


def _ready() -> None:
    """Called in another process, it brings there what a hand needs: this module."""


def _look_at(damage: Damage, choice: Choice) -> Look:
    return Search(damage, 1, None, None).look(choice)


def _left_by_filler(damage: Damage, choice: Choice) -> float:
    """Waves that the filler leaves, times the limit."""
    try:
        return Search(damage, 1, None, None).looked(choice, "filler finish")[-1].condition.waves / KIND
    except InputError:
        return math.inf


def worked(choice: Choice, shares: tuple[float, float]) -> Choice:
    """The choice with its filler shaped by such shares of the usual strokes of the coarse and of the fine paper."""
    for role, share in zip(("filler level", "filler finish"), shares, strict=True):
        choice = choice.with_strokes(role, share * USUAL_STROKES[role])
    return choice


def _fails_with(handed: Handed, seed: int) -> int | None:
    return Search(handed.damage, 1, None, None).fails_with(handed, seed)
