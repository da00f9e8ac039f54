"""What is proposed: the plan with its reasons, what it takes and what binds it; or why there is none."""

from __future__ import annotations

import functools
import html
from collections.abc import Iterator
from concurrent.futures import Executor
from dataclasses import dataclass
from pathlib import Path

from coursekit.nomenclature import System, number_of
from coursekit.quantities import InputError, shown
from coursekit.repair import damage as damages
from coursekit.repair import timetable
from coursekit.repair.amounts import much, to_look_for
from coursekit.repair.cautioning import care_lines
from coursekit.repair.damage import PROMOTER, Damage
from coursekit.repair.entry import SandEntry
from coursekit.repair.outline import fills_in_booth, is_polished_out, needs_filler
from coursekit.repair.plan import plan_checks
from coursekit.repair.planned import Plan, against
from coursekit.repair.playing import Replay
from coursekit.repair.proposing import HANDS, Search
from coursekit.repair.readiness import KIND
from coursekit.repair.recipe import Recipe
from coursekit.repair.refusing import Refusal, refusals
from coursekit.repair.rules import rule
from coursekit.repair.sheet_packs import HEAD, shopping
from coursekit.repair.steps import Sand
from coursekit.repair.timetable import Timetable
from coursekit.repair.walking import Progress, Stopped
from coursekit.repair.words import reason_words, time_words
from coursekit.repair.writing import recipe_text, with_reasons

MOST_HANDS = 200
ASKED = {
    "damage.depth": "how deep it is",
    "damage.reaches": "what it reaches",
    "panel.old_paint": "how thick the old paint is",
    "gun.fluid_delivery": "what your gun delivers",
    "gun.captured": "how much of it lands",
    "garage.spray_at": "where it is sprayed (a booth)",
}
EASED = {
    "stock": "buying what is not there",
    "hand": "steadier hands",
    "depth": "a shallower damage",
    "width": "a smaller damage",
}


@dataclass(frozen=True)
class Proposal:
    """A plan for a damage, or the reasons why there is none.

    refused  why no plan is made, each with what would make one possible
    plan     the best one found; None when none was made
    """

    damage: Damage
    refused: tuple[Refusal, ...]
    plan: Plan | None
    stopped: bool = False

    @property
    def holds(self) -> bool:
        """Whether there is a plan that nine hands in ten bring through, with nothing found against it."""
        return self.plan is not None and self.plan.holds and not self.troubles

    @property
    def recipe(self) -> Recipe | None:
        """The recipe that is proposed; None when no plan holds."""
        return self.plan.recipe if self.plan is not None and self.holds else None

    @property
    def played(self) -> Replay | None:
        """The plan as a steady hand plays it."""
        return self.plan.played if self.plan is not None else None

    @functools.cached_property
    def troubles(self) -> tuple[str, ...]:
        """Problems of the best plan that was found, in metric units."""
        return self.troubles_in("metric")

    def troubles_in(self, system: System) -> tuple[str, ...]:
        """Problems of the best plan that was found."""
        if self.plan is None:
            return ()
        steps = [
            f"Step {one.step.number}, {one.step.words}: {one.verdict.text(system)}"
            for one in self.plan.played.not_yet
        ]
        return (*steps, *against(self.plan.played, system))

    @functools.cached_property
    def timetable(self) -> Timetable | None:
        """The plan by the clock of the week; None where no working hours are known or it fits none."""
        return timetable.of(self.plan.played) if self.plan is not None else None

    def why(self, number: int) -> str:
        """Why a step of the plan is there; steps count from 1."""
        steps = self.plan.outline.steps if self.plan is not None else ()
        if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= len(steps):
            raise InputError("number", "is no step of this plan.", f"Give 1 to {len(steps)}.")
        return steps[number - 1].why

    # --- words ---

    def text(self, system: System = "metric") -> str:
        """All of it in words."""
        return "\n".join(self.lines(system))

    def __str__(self) -> str:
        return self.text()

    def _repr_html_(self) -> str:
        return f"<pre>{html.escape(self.text())}</pre>"

    def lines(self, system: System = "metric") -> Iterator[str]:
        yield self.damage.title
        if self.refused:
            yield "No plan is made:"
            yield from (f"– {one.text(system)}" for one in self.refused)
            return
        if self.plan is None:
            yield "Stopped before a plan was found."
            return
        if not self.holds:
            yield "No plan holds. The one that comes nearest fails here:"
            yield from (f"– {trouble}" for trouble in self.troubles_in(system))
            yield from (f"– {line}" for line in (*self._hands(), *self.nearest()))
            yield f"– {self.remedy(system)}"
            yield from self._care()
            return
        yield from self._plan(system)

    def remedy(self, system: System = "metric") -> str:
        """What would make a plan possible where the best one fails: tried on the computed panel."""
        change = self.plan.possible if self.plan is not None else None
        if change is None:
            tried = [EASED[one] for one in self.plan.eased] if self.plan is not None else []
            said = f"Tried as well: {', '.join(tried)}; no plan holds with any of them. " if tried else ""
            straighten = "" if self.damage.panel.made_of == "plastic" else "the sheet straightened further, or "
            return f"{said}Have {straighten}the part replaced or repaired in a shop."
        if change.names:
            bought = ", ".join(change.names)
            return (
                f"With {bought} there as well a plan was found that {change.held} of {change.hands} hands bring "
                f'through: buy {bought}, or write buy = "yes" in [stock].'
            )
        place = self.damage.damage
        if change.what == "hand":
            return (
                f"With a hand that varies by {change.to:.0%} instead of {self.damage.wish.hand:.0%} this plan holds: "
                "practise on a test card, measure your hand, and propose again."
            )
        if change.what == "depth":
            deep, now = (shown(value, "low_metal", system, 2) for value in (change.to, place.depth))
            return f"With {deep} of depth instead of {now} a plan was found: straighten the sheet further first."
        wide, now = (shown(value, "extent", system, 2) for value in (change.to, place.width))
        return f"With a damage {wide} wide instead of {now} a plan was found: this one needs a shop."

    def _hands(self) -> Iterator[str]:
        assert self.plan is not None
        if self.plan.hands:
            stray = f"{self.damage.wish.hand:.0%}"
            held = f"{self.plan.held} of {self.plan.hands} hands that vary by {stray} come through"
            yield f"{held}; it was not sought with any of them."
            for number, count in self.plan.failed:
                if number:
                    words = self.plan.recipe.steps[number - 1].words
                    yield f"Not yet after step {number} ({words}) with {count} of them."

    def nearest(self) -> Iterator[str]:
        """How near the best plan came that does not hold: its waves, and the blocks that were tried."""
        assert self.plan is not None
        sanded = [entry for entry in self.plan.played if isinstance(entry.step, Sand)]
        if sanded and self.plan.blocks:
            yield (
                f"Tried: {', '.join(self.plan.blocks)}; best is the {self.plan.choice.short}. A steady hand leaves "
                f"waves of {sanded[-1].condition.waves / KIND:.0%} of what most people see; one that varies leaves "
                f"more."
            )

    def _plan(self, system: System) -> Iterator[str]:
        assert self.plan is not None
        figures = self.plan.figures
        yield (
            f"{len(self.plan.recipe.steps)} steps, {time_words(figures.work)} of work, "
            f"{time_words(figures.until_clear)} to the last coat, {time_words(self.plan.played.time)} until it is "
            f"hard. {shown(figures.paint, 'paint_volume', system, 2)} of paint, film "
            f"{shown(figures.film, 'film', system, 2)}."
        )
        yield from self._hands()
        yield from self._clock()
        yield from (f"Before step 1: {line}" for line in self.before())
        for entry, step in zip(self.plan.played, self.plan.outline.steps, strict=True):
            tool = entry.step.tool if isinstance(entry, SandEntry) else ""
            told = ", ".join(filter(None, (entry.step.words, tool, much(entry), to_look_for(entry, system))))
            yield f"{entry.step.number:2}  {told}: {reason_words(step.why, system)}."
        yield f"Shopping list: {' | '.join(HEAD)}"
        yield from (" | ".join(filter(None, row)) for row in shopping(self.plan.played, self.damage.stock, system))
        yield from (f"Binds: {line}" for line in self.binds(system))
        yield from filter(None, [self.taken])
        yield from (f"Note: {one.text(system)}" for one in plan_checks(self.plan.played))
        yield from self._care()

    def _care(self) -> Iterator[str]:
        """The cautions of the plan that was found, and that it is none of a clearance."""
        assert self.plan is not None
        yield from care_lines(self.plan.played)

    def _clock(self) -> Iterator[str]:
        assert self.plan is not None
        if self.plan.unfit:
            yield f"It fits no start in the working hours: {self.plan.unfit}"
        elif self.timetable is not None:
            yield from (f"By the clock: {line}" for line in self.timetable.lines())

    @property
    def taken(self) -> str:
        """What matters most and the learner did not know, in a sentence."""
        missing = [said for key, said in ASKED.items() if key in self.damage.taken]
        return f"Taken as usual, since you did not say: {', '.join(missing)}." if missing else ""

    @property
    def _feather(self) -> float:
        return self.plan.choice.feather if self.plan is not None else rule("reach.feather").value

    def before(self) -> Iterator[str]:
        """What has to be done before the first step of the recipe, and is not computed."""
        place, panel = self.damage.damage, self.damage.panel
        if self.damage.reaches in ("bare", "old filler"):
            work = {
                "straighten the sheet": self.damage.low > 0,
                "take the paint in the low off, as filler holds on bare, keyed sheet": self.damage.reaches
                != place.reaches,
                "dig out the old filler": place.reaches == "old filler",
                "take the rust off to bright metal": place.on_it == "rust",
            }
            first = ", ".join(words for words, asked in work.items() if asked) or "strip the spot"
            beyond = "chip" if self.damage.is_chip else "reach"
            feather = None if self.damage.is_chip else self._feather
            told = (rule(f"{beyond}.stripped").said(), rule(f"{beyond}.feather").said(feather))
            yield f"{first}; {', '.join(told)}."
        if panel.made_of == "aluminium":
            yield rule("ground.aluminium").said() + "."
        if panel.made_of == "plastic" and self.damage.reaches == "bare":
            yield f"{rule('ground.plastic').said()}; {PROMOTER} is no film of this computed panel."
        if self.damage.garage.spray_at == "booth" and not is_polished_out(self.damage):
            filler = "filler and " if fills_in_booth(self.damage) else ""
            yield (
                f"arrange the booth: {filler}every step that sprays is done there, and the car stays warm "
                "while films cure."
            )
        elif not is_polished_out(self.damage):
            yield rule("home.isocyanate").said() + "; " + rule("home.extraction").said() + "."

    def binds(self, system: System = "metric") -> Iterator[str]:
        """What the search found beside the plan: one thing moved, and the limit that this passes."""
        assert self.plan is not None
        yield from (one.text(system) for one in self.plan.binds)
        if needs_filler(self.damage):
            deep, most = self.damage.low, number_of(rule("coats.filler").more["most"])
            laid, limit = (shown(value, "low_metal", system, 2) for value in (deep, most))
            yield f"filler of {laid}, at most {limit} is laid"

    # --- files ---

    def recipe_text(self) -> str:
        """The recipe as TOML with the reason above each step. Raises InputError when no plan holds."""
        if self.recipe is None or self.plan is None:
            raise InputError("proposal", "holds no plan.", "Read text(): it says what would make one possible.")
        return with_reasons(recipe_text(self.plan.outline.tables), [step.why for step in self.plan.outline.steps])


def propose(
    given: Damage | str | Path,
    hands: int = HANDS,
    progress: Progress | None = None,
    executor: Executor | None = None,
) -> Proposal:
    """Propose a repair: by the rules of the trade, tried on the computed panel.

    given     a Damage, or the path of its file
    hands     number of hands that judge it, none of which it was sought with; nine in ten must come through
    progress  called with what is done and the share that is done; False stops the search
    executor  plays every other hand: `repair.sharing.beside()`
    """
    if isinstance(hands, bool) or not isinstance(hands, int) or not 1 <= hands <= MOST_HANDS:
        raise InputError("hands", "is not a number of hands.", f"Give 1 to {MOST_HANDS}.")
    damage = given if isinstance(given, Damage) else damages.load(given)
    search = Search(damage, hands, progress, executor)
    refused = refusals(damage, search.bare, not is_polished_out(damage))
    if refused:
        return Proposal(damage, refused, None)
    try:
        return Proposal(damage, (), search.best())
    except (Stopped, KeyboardInterrupt):
        return Proposal(damage, (), None, stopped=True)
