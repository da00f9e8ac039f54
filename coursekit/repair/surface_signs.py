"""What speaks for or against a cause in the sanding, the edges, the dirt, and what showed under a coat.

Each function goes through the steps that reach the place and yields signs, each one figure against its limit.
"""

from __future__ import annotations

from collections.abc import Iterator

from coursekit.panel.region import bearing_width
from coursekit.repair.case import CLEAN, SPOT
from coursekit.repair.condition import FEW
from coursekit.repair.entry import SandEntry
from coursekit.repair.evidence import GARAGE, Evidence, Sign, over
from coursekit.repair.readiness import (
    COARSEST_TOO_FINE,
    KIND,
    RECOAT_MARGIN,
    deepest_scratch,
    grain_of,
    seen_scratch,
)
from coursekit.repair.steps import Block, ByHand, HandSand, MachineSand, Polish, WithPaper
from coursekit.repair.verdicts import SOFT_EDGE
from coursekit.repair.vocabulary import COLOUR
from coursekit.sanding import scratch_width, seen_width

WAYS = {"along": (0,), "across": (1,), "cross": (0, 1)}  # of the crown, that the length of a tool lies along
YES, NO = 2.0, 0.0  # ratio of what is so, or is not, and has no measure
DISCS_BEFORE_A_LOOK = 1.0
MOST_ON_MACHINE = 40.0  # N (common practice; type tests of machines press with 30 to 50 N)
BEARS = 0.9  # of its length on which a tool must bear to leave no flat (assumed)


def scratch_under_colour(at: Evidence) -> Iterator[Sign]:
    for entry in at.sprayed(*COLOUR):
        before = at.before(entry)
        if before.scratch > 0 and entry.step.material == "base":
            _, wide = seen_scratch(at.recipe, deepest_scratch(before))
            limit = float(seen_width.si("point lamp"))
            yield Sign(
                entry.step.number,
                wide / limit,
                f"scratches of {before.paper}, {{0}} deep, may leave dips "
                "{1} wide under base and clear; a strong lamp shows {2}",
                (("scratch_depth", deepest_scratch(before)), ("scratch_width", wide), ("scratch_width", limit)),
            )


def unfilled_scratch(at: Evidence) -> Iterator[Sign]:
    for entry in at.sprayed("surfacer", "epoxy primer"):
        before = at.before(entry)
        if before.scratch <= 0:
            continue
        deepest, film = deepest_scratch(before), entry.step.planned_film(at.recipe)
        needed = RECOAT_MARGIN * deepest * (2 - entry.step.volume_solids(at.recipe))
        yield Sign(
            entry.step.number,
            over(needed, film),
            f"scratches of {before.paper}, {{0}} deep, need {{1}}; the step lays {{2}}",
            (("scratch_depth", deepest), ("film", needed), ("film", film)),
        )


def skipped_paper(at: Evidence) -> Iterator[Sign]:
    """Left of an earlier paper when the next coat came."""
    for entry in at.sanded(WithPaper):
        after, paper = at.after(entry), entry.used.paper
        if not entry.used.removed or not after.paper:
            continue
        left = 1.0 if after.paper != paper else after.other_paper
        yield Sign(
            entry.step.number,
            left / FEW,
            f"after {paper}, deeper scratches of an earlier paper were left on {{0}}",
            (("remaining", left),),
        )


def hard_edge(at: Evidence) -> Iterator[Sign]:
    for entry in at.replay:
        if entry.change.edge is not None:
            film, width = entry.change.edge
            later = next((e for e in at.replay if e.step.number > entry.step.number and e.used.removed), None)
            words = "" if later is None else f"; step {later.step.number} sanded afterwards: look whether enough"
            yield Sign(
                entry.step.number,
                SOFT_EDGE * film / width,
                f"the film ended {{0}} thick within {{1}}; soft is {SOFT_EDGE:.0f} times its thickness{words}",
                (("film", film), ("wavelength", width)),
            )


def steep_feather(at: Evidence) -> Iterator[Sign]:
    damage = at.recipe.panel["damage"]
    if damage:
        film, width = at.recipe.panel["old_paint"], damage["feather"]
        yield Sign(
            GARAGE,
            over(SOFT_EDGE * film, width),
            f"the old paint, {{0}}, was feathered over {{1}}; soft is {SOFT_EDGE:.0f} times its thickness",
            (("film", film), ("wavelength", width)),
        )


def filler_under_colour(at: Evidence) -> Iterator[Sign]:
    for entry in at.sprayed("base"):
        area = at.showed("filler", entry)
        yield Sign(entry.step.number, area / SPOT, "filler showed on {0} under the base", (("spot", area),))


def bare_metal(at: Evidence) -> Iterator[Sign]:
    for entry in at.added():
        if entry.step.brings != "epoxy primer":
            area = at.showed("steel", entry)
            yield Sign(
                entry.step.number,
                area / SPOT,
                f"{entry.step.brings} went over {{0}} of bare metal"
                + (": its data sheet says whether it may" if entry.step.brings == "filler" else ""),
                (("spot", area),),
            )


def through_to_metal(at: Evidence) -> Iterator[Sign]:
    for entry in at.sanded():
        area = sum(size for (_, to), size in entry.change.broken.items() if to == "bare metal")
        yield Sign(
            entry.step.number, area / SPOT, "{0} sanded through to bare metal, on the whole panel", (("spot", area),)
        )


def through_colour(at: Evidence) -> Iterator[Sign]:
    for entry in at.sanded():
        area = sum(size for (through, _), size in entry.change.broken.items() if through in COLOUR)
        yield Sign(
            entry.step.number, area / SPOT, "{0} sanded through clear or base, on the whole panel", (("spot", area),)
        )


# --- dirt --------------------------------------------------------------------------------------------------


def sanded_dirty(at: Evidence) -> Iterator[Sign]:
    for entry in at.sanded():
        dirt = at.before(entry).dirt
        yield Sign(
            entry.step.number,
            dirt / CLEAN,
            "{0} of the wax and grease were on it when it was sanded",
            (("remaining", dirt),),
        )


def dirt_under(at: Evidence) -> Iterator[Sign]:
    for entry in at.added():
        dirt = at.before(entry).dirt
        yield Sign(entry.step.number, dirt / CLEAN, "{0} of the wax and grease lay under it", (("remaining", dirt),))


def rubbed_in(at: Evidence) -> Iterator[Sign]:
    for entry in at.added():
        wax = at.before(entry).rubbed_in
        yield Sign(
            entry.step.number, wax / CLEAN, "{0} were rubbed into the scratches under it", (("remaining", wax),)
        )


# --- waves -------------------------------------------------------------------------------------------------


def _last_before_colour(at: Evidence) -> list[SandEntry]:
    """The sanding that went before the colour, or the last one of all."""
    colour = next((entry.step.number for entry in at.sprayed(*COLOUR)), len(at.replay) + 1)
    found = [entry for entry in at.sanded(WithPaper) if entry.used.removed]
    return [entry for entry in found if entry.step.number < colour][-1:] or found[-1:]


def waves_left(at: Evidence) -> Iterator[Sign]:
    for entry in _last_before_colour(at):
        after = at.after(entry)
        yield Sign(
            entry.step.number,
            after.waves / KIND,
            "its waves are {0} times the limit of a strict eye, "
            f"mostly {{1}} long; most people see {KIND:.0f} times",
            (("plain", after.waves), ("wavelength", after.wavelength)),
        )


def short_block(at: Evidence) -> Iterator[Sign]:
    for entry in at.sanded(Block):
        before, length = at.before(entry), entry.step.holds().length
        if before.waves > 1:
            yield Sign(
                entry.step.number,
                before.wavelength / length,
                f"the {entry.step.tool} is {{0}} long, the waves it met mostly {{1}}",
                (("extent", length), ("wavelength", before.wavelength)),
            )


def no_guide_coat(at: Evidence) -> Iterator[Sign]:
    for entry in at.sanded(Block):
        sanded = max(entry.used.removed, key=lambda name: entry.used.removed[name], default="")
        if sanded == "surfacer":
            guide = at.before(entry).guide_coat
            yield Sign(
                entry.step.number,
                YES if guide <= FEW else NO,
                "guide coat was on {0} of it before",
                (("remaining", guide),),
            )


def made_waves(at: Evidence) -> Iterator[Sign]:
    for entry in at.sanded(HandSand, MachineSand):
        before, after = at.before(entry), at.after(entry)
        if entry.used.removed and before.waves > 0:
            yield Sign(
                entry.step.number,
                after.waves / before.waves / 1.1,
                f"waves before the {entry.step.tool} {{0}}, after it {{1}} times a strict eye's limit",
                (("plain", before.waves), ("plain", after.waves)),
            )


def flat_strip(at: Evidence) -> Iterator[Sign]:
    """The strip on which the tool bears on the crown, where that is least of its side."""
    crown = at.replay.start.shape.crown
    for entry in at.sanded(WithPaper):
        tool, worst = entry.step.holds(at.recipe), (NO, 1.0, 0.0)
        ways = WAYS[entry.step.direction] if isinstance(entry.step, ByHand) else WAYS["cross"]
        for name, side in (("length", tool.length), ("width", tool.width)):
            for way in ways if name == "length" else [1 - way for way in ways]:
                strip = bearing_width(tool, entry.step.force, crown[way], name)
                if strip < BEARS * side:
                    worst = max(worst, (BEARS * side / strip, side, strip))
        ratio, side, strip = worst
        yield Sign(
            entry.step.number,
            ratio,
            f"the {entry.step.tool} bears on {{0}} of its {{1}}"
            if strip
            else f"the {entry.step.tool} takes the form of the panel under that force",
            (("contact_width", strip), ("extent", side)),
        )


# --- hold, swirls and pigtails -----------------------------------------------------------------------------


def glossy_under(at: Evidence) -> Iterator[Sign]:
    for entry in at.sprayed():
        share = entry.change.glossy
        yield Sign(
            entry.step.number,
            share / FEW,
            "{0} of the area was old paint that was not scuffed",
            (("remaining", share),),
        )


def dust_under(at: Evidence) -> Iterator[Sign]:
    for entry in at.added():
        dust = at.before(entry).dust
        yield Sign(entry.step.number, dust / CLEAN, "{0} of the sanding dust lay under it", (("remaining", dust),))


def fine_key(at: Evidence) -> Iterator[Sign]:
    for entry in at.sprayed("surfacer", "epoxy primer"):
        before = at.before(entry)
        grain = grain_of(before.paper)
        if before.scratch > 0 and grain:
            yield Sign(
                entry.step.number,
                COARSEST_TOO_FINE / grain,
                f"it lies on scratches of {before.paper}, grain {{0}}; below {{1}} that is too fine a key",
                (("grain_size", grain), ("grain_size", COARSEST_TOO_FINE)),
            )


def _over_clear(at: Evidence) -> list[SandEntry]:
    return [entry for entry in at.sanded() if entry.used.removed.get("clear")]


def scratch_in_clear(at: Evidence) -> Iterator[Sign]:
    polished = _over_clear(at)[-1:]
    for laid in list(at.sprayed("clear"))[-1:] if not polished else ():
        yield Sign(laid.step.number, NO, "its clear was neither sanded nor polished", ())
    for entry in polished:
        after = at.after(entry)
        wide, limit = float(scratch_width.si(after.scratch)), float(seen_width.si("point lamp"))
        yield Sign(
            entry.step.number,
            wide / limit,
            f"scratches of {after.paper}, {{0}} wide, are left in the clear; a strong lamp shows {{1}}",
            (("scratch_width", wide), ("scratch_width", limit)),
        )


def coarse_compound(at: Evidence) -> Iterator[Sign]:
    for step in [one.step for one in _over_clear(at) if isinstance(one.step, Polish)][-1:]:
        compound = step.compound
        yield Sign(step.number, NO if compound == "fine" else YES, f"the last compound was {compound}", ())


def loaded_disc(at: Evidence) -> Iterator[Sign]:
    for entry in at.sanded(MachineSand):
        pieces = entry.used.pieces or 0.0
        yield Sign(
            entry.step.number,
            pieces / DISCS_BEFORE_A_LOOK,
            f"the work fills {{0}} discs of {entry.used.paper}: change each before it is full",
            (("pieces", pieces),),
        )


def not_wiped_between(at: Evidence) -> Iterator[Sign]:
    """Dust of a coarser paper on the panel when a machine went over it with a finer one."""
    for entry in at.sanded(MachineSand):
        before = at.before(entry)
        if grain_of(before.paper) > grain_of(entry.used.paper) > 0:
            yield Sign(
                entry.step.number,
                before.dust / CLEAN,
                f"{{0}} of the dust of {before.paper} was on it",
                (("remaining", before.dust),),
            )


def hard_pressed(at: Evidence) -> Iterator[Sign]:
    for entry in at.sanded(MachineSand):
        force = entry.step.force
        yield Sign(
            entry.step.number,
            force / MOST_ON_MACHINE,
            "it was pressed with {0}; the machine's weight and {1} are enough",
            (("force", force), ("force", MOST_ON_MACHINE)),
        )
