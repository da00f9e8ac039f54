"""Go on, or not yet, because …: what the figures of a step say, and whether the panel is ready for the next one."""

from __future__ import annotations

from collections.abc import Iterator

from coursekit.panel import Filled
from coursekit.quantities import InputError
from coursekit.repair.case import CLEAN, SPOT, Case, Verdict
from coursekit.repair.change import Opened
from coursekit.repair.condition import FEW
from coursekit.repair.forecast import pot_life_of
from coursekit.repair.readiness import deepest_scratch, film_over, grain_of, ready
from coursekit.repair.steps import Block, Clean, Sand, Spray, Sprayed, Timed, WithPaper
from coursekit.repair.vocabulary import COLOUR
from coursekit.repair.words import Reason
from coursekit.sanding.grits import read_grade
from coursekit.sanding.progression import SHAPING, papers_between

CLOSE_TO_SAGGING = 0.8


def verdict_of(case: Case) -> Verdict:
    """The verdict on one step."""
    reasons = tuple(dict.fromkeys([*_own(case), *ready(case)]))
    return Verdict(not any(reason.against for reason in reasons), reasons)


FINEST_ON_FILLER = 40e-6  # m of grain: finer than P360 (common practice)
LEAST_COAT = 2e-6  # m, dry (assumed)
# s until water has left scratches, edges and a surfacer that was sanded wet (assumed; that it is wiped dry and left
# to dry is common practice). Some data sheets of surfacer forbid water altogether (from memory).
WATER_LEAVES = 1800.0
SOFT_EDGE = 30.0  # times as wide as the film is thick (common practice: a folded edge gives at least that)


def _own(case: Case) -> Iterator[Reason]:
    if case.change.edge is not None:
        film, width = case.change.edge
        soft = width >= SOFT_EDGE * film
        yield Reason(
            not soft and case.material_coming in COLOUR,
            "the film ends in "
            + (
                "a soft edge: {0} within {1}"
                if soft
                else "a hard edge, {0} within {1}: feather it, or it shows as a ring"
            ),
            (("film", film), ("wavelength", width)),
        )
    if isinstance(case.step, Sand):
        yield from _sanded(case)
    elif isinstance(case.used, Filled | Sprayed):
        yield from _dirt_under(case.used)
    if isinstance(case.step, Spray) and isinstance(case.used, Sprayed):
        yield from _sprayed(case, case.step, case.used)


# --- sanding -----------------------------------------------------------------------------------------------


def _sanded(case: Case) -> Iterator[Reason]:
    before, after = case.before, case.after
    if before.dirt > CLEAN:
        yield Reason(
            True,
            "it was sanded before it was clean: wax and silicone are rubbed into the scratches, where "
            "wiping hardly reaches them",
        )
    if not case.used.removed:
        yield Reason(False, "nothing was taken off")
        return
    yield from _broken(case)
    yield from _ill_suited(case)
    yield from _wet(case)
    sanded = max(case.used.removed, key=lambda name: case.used.removed[name])
    if sanded in after.film:
        film = after.film[sanded]
        yield Reason(
            False,
            f"{sanded} left: {{0}} in the mean, {{1}} where it is thinnest",
            (("film", film.mean), ("film", film.thin)),
        )
    if after.paper not in ("", case.used.paper):
        filled = case.material_coming not in ("", *COLOUR)  # whether the film fills them is asked besides
        yield Reason(
            not filled and not _coarser_next(case),
            "most of it still shows the scratches of "
            f"{after.paper}, {{0}} deep: "
            + ("the next film has to fill them" if filled else f"more strokes of {case.used.paper}"),
            (("scratch_depth", after.scratch),),
            "scratches",
        )
    elif after.other_paper > FEW:
        filled = _fills_earlier(case)
        stays = not filled and not _coarser_next(case)
        yield Reason(
            stays,
            "deeper scratches of an earlier paper are left on {0} of it: "
            + ("the next film has to fill them" if filled else f"more strokes of {after.paper}"),
            (("remaining", after.other_paper),),
            "scratches",
        )
    if before.guide_coat > FEW and after.guide_coat > FEW:
        yield Reason(
            not case.blocking_to_come,
            "guide coat is left on {0} of it: lows or deep scratches",
            (("remaining", after.guide_coat),),
            "guide coat",
        )
    if isinstance(case.step, Block) and sanded == "surfacer" and before.guide_coat <= FEW:
        yield Reason(False, "without a guide coat nobody sees which lows are left")


def _ill_suited(case: Case) -> Iterator[Reason]:
    """A paper too fine for what it is to shape, a step in papers that is too large, fingers without a block."""
    if not isinstance(case.step, WithPaper):
        return
    grade, removed = case.step.paper, case.used.removed
    sanded = max(removed, key=lambda name: removed[name])
    if isinstance(case.step, Block) and sanded == "filler" and grade.grain_size < FINEST_ON_FILLER:
        yield Reason(
            True, f"{grade} does not level filler and is soon full of its dust: P80 to shape it, P180 to finish it"
        )
    if case.step.tool == "fingers" and sanded in ("filler", "surfacer", "clear"):
        yield Reason(
            False,
            "fingers without a block press on strips as wide as themselves: they follow every wave "
            "and dig grooves along the stroke. Use a block, a soft one on a curve",
        )
    before = case.before.paper
    if before and case.before.scratch > 0 and case.material_coming in COLOUR:
        try:
            ratio = read_grade(before).grain_size / grade.grain_size
        except InputError:
            return  # a compound
        if ratio > SHAPING:
            between = " and ".join(papers_between(before, grade))
            yield Reason(
                True,
                f"from {before} to {grade} is too large a step, {{0}} times in grain: put {between} between",
                (("size_ratio", ratio),),
            )


def _wet(case: Case) -> Iterator[Reason]:
    """What water does, and whether it has gone before anything is laid (common practice, no source)."""
    if not (isinstance(case.step, WithPaper) and case.step.wet):
        return
    shows = case.after.shows
    if "filler" in case.used.removed or shows.get("filler", 0.0) > SPOT:
        yield Reason(True, "filler was sanded wet: it drinks water and blisters under the paint. Sand it dry")
    if shows.get("bare metal", 0.0) > SPOT:
        yield Reason(True, "bare metal was sanded wet: it rusts before it is primed. Sand it dry")
    if case.before.guide_coat > FEW:
        yield Reason(False, "water takes a guide coat of powder off: dust a mist of thin paint instead")
    if case.coming is None:
        return
    rinsed, since = False, 0.0
    for step in case.following:
        if step is case.coming:
            break
        rinsed |= isinstance(step, Clean)
        since += step.time if isinstance(step, Timed) else 0.0
    if not rinsed:
        yield Reason(
            True,
            f"the slurry of wet sanding is still on it: rinse it and wipe it dry before the {case.material_coming}",
        )
    elif since < WATER_LEAVES:
        yield Reason(
            True,
            f"it was sanded wet {{0}} before the {case.material_coming}: let it dry for {{1}} or more, longer in the "
            "cold, or water is shut in",
            (("time", since), ("time", WATER_LEAVES)),
        )


def _coarser_next(case: Case) -> bool:
    step, then = case.step, case.next
    if not (isinstance(step, WithPaper) and isinstance(then, WithPaper)):
        return False
    return then.paper.grain_size >= step.paper.grain_size


def _fills_earlier(case: Case) -> bool:
    """Whether the surfacer or primer to come fills the scratches that are left of the paper before this one."""
    coming, before = case.coming, case.before
    if (
        not isinstance(coming, Spray)
        or coming.material in COLOUR
        or grain_of(before.paper) <= grain_of(case.used.paper)
    ):
        return False
    return coming.planned_film(case.recipe) >= film_over(deepest_scratch(before), coming, case.recipe)


def _broken(case: Case) -> Iterator[Reason]:
    """Where it went through, and to what; what must go on first, the next material answers or not."""
    coming = case.material_coming
    for (through, to), area in sorted(case.change.broken.items()):
        if area < SPOT and to != "bare metal":
            continue
        first = goes_on_first(through, to)
        answered = case.sanding_to_come or coming in answers(through, to)
        yield Reason(not answered, f"broken through the {through} to {to} on {{0}}: {first}", (("spot", area),))
    together: dict[tuple[str, str], dict[str, Opened]] = {}
    for line, opened in case.change.lines.items():
        together.setdefault((opened.through, opened.to), {})[line] = opened
    for (through, to), lines in together.items():
        answered = case.sanding_to_come or coming in answers(through, to)
        told = [f"the {line} along {{{2 * n}}}, {{{2 * n + 1}}} of it" for n, line in enumerate(lines)]
        it = "it" if len(told) == 1 else "them"
        yield Reason(
            not answered,
            f"through the {through} to {to} on {' and on '.join(told)}: {goes_on_first(through, to)}; then keep the "
            f"block off {it} and finish by hand, along {it}",
            tuple(figure for one in lines.values() for figure in (("extent", one.length), ("remaining", one.share))),
        )


def answers(through: str, to: str) -> tuple[str, ...]:
    """The materials that may go on next where sanding went through one to another."""
    if to == "bare metal":
        return ("epoxy primer", "filler")
    if through in COLOUR:
        return ("base",) if to == "base" or through == "base" else ("surfacer", "base")
    if to == "bare plastic":
        return ("epoxy primer", "surfacer")
    return ("surfacer", "epoxy primer", "filler") if through != "old paint" else ("surfacer", "base", "clear")


def goes_on_first(through: str, to: str) -> str:
    """What must go on first, in words."""
    if to == "bare metal":
        return "a corrosion-protecting primer first (epoxy, or what the surfacer's sheet requires), then surfacer"
    if to == "bare plastic":
        return "the primer that the data sheet names for plastic, then surfacer"
    if through == "clear":
        return "base and clear again"
    if through == "base":
        return "base again"
    if through == "old paint":
        return "scuff it and cover it with what comes next"
    if through == "filler":
        return "surfacer over both"
    return "surfacer again; one thin coat when it is straight"


# --- adding ------------------------------------------------------------------------------------------------


def _dirt_under(used: Filled | Sprayed) -> Iterator[Reason]:
    if (wax := used.over_contamination) > CLEAN:
        yield Reason(
            True,
            "wax, grease or silicone lie under it ({0} of what was there): it craters or peels",
            (("remaining", wax),),
        )
    if isinstance(used, Sprayed) and (dust := used.over_dust) > CLEAN:
        yield Reason(True, "it lies on sanding dust ({0} of it was left)", (("remaining", dust),))


def _sprayed(case: Case, step: Spray, used: Sprayed) -> Iterator[Reason]:
    laid = case.change.laid
    row = case.recipe.materials[step.material]
    yield Reason(
        False, "dry film laid: {0} in the mean, {1} where it is thinnest", (("film", laid.mean), ("film", laid.thin))
    )
    if laid.mean < LEAST_COAT:
        yield Reason(
            True,
            f"{{0}} of {step.material} on the area that was meant is a mist, not a coat: go slower "
            "or nearer, or spray more paint",
            (("film", laid.mean),),
        )
    if case.change.missed > FEW:
        yield Reason(True, "{0} of the area got less than half of the film", (("remaining", case.change.missed),))
    if case.change.glossy > FEW:
        yield Reason(
            True,
            "{0} of the area is old paint that was not scuffed: it peels there",
            (("remaining", case.change.glossy),),
        )
    hung = used.hung
    if hung > row["sag_limit"]:
        yield Reason(
            True,
            "{0} of wet film hang where most hangs, and {1} hang without running: faster, further, or "
            "longer between coats",
            (("wet_film", hung), ("wet_film", row["sag_limit"])),
        )
    elif hung > CLOSE_TO_SAGGING * row["sag_limit"]:
        yield Reason(
            False,
            "{0} of wet film hang where most hangs, close to the {1} that run",
            (("wet_film", hung), ("wet_film", row["sag_limit"])),
        )
    life = pot_life_of(case.recipe, step.material)
    if life is not None and used.time > life:
        yield Reason(
            True,
            "spraying took {0}, longer than the pot life of {1}: mix less at a time",
            (("time", used.time), ("time", life)),
        )
