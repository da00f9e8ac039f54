"""The order of the work for each depth of damage, with a reason for every step."""

from __future__ import annotations

import math
from typing import Any

from coursekit.repair import recipe as recipes
from coursekit.repair.damage import PROMOTER, Damage
from coursekit.repair.outline import (
    Choice,
    Outline,
    Writer,
    base_tables,
    feathered,
    is_polished_out,
    mm,
    needs_filler,
    paper_or_wanted,
    usual_films,
    was_rusty,
)
from coursekit.repair.recipe import Recipe
from coursekit.repair.rules import reach, rule
from coursekit.repair.steps import Polish
from coursekit.repair.waiting import FLASHED, HARDENED, filler_sets
from coursekit.tomlfile import Document

OVER = 1.2  # times the depth of the scratch: a part lands on the rim, where the pad hangs over (assumed)
LEAST_OFF = 2e-6  # m of clear that compounds take off in any case: P2000 leaves 1.4 µm at its deepest (computed)
GUIDE = "what is dark after blocking is low, or a deep scratch"
RIM = "feathers the rim of the film and reaches what blocks kept off"


def without_steps(damage: Damage) -> Recipe:
    """The recipe of a damage with one step in it: its materials, its garage, its panel."""
    return recipes.from_document(
        Document.of_tables({**base_tables(damage, Choice()), "step": [{"do": "clean"}]}, damage.name)
    )


def outline(damage: Damage, choice: Choice, bare: Recipe) -> Outline:
    """The repair that the rules make of a damage and a choice; `bare` is `without_steps`."""
    films = {**usual_films(damage, bare.materials), **choice.films}
    writer = Writer(damage, Choice(**{**vars(choice), "films": films}), bare)
    writer.clean(_why("extent.clean"))
    if is_polished_out(damage):
        _polish(writer)
    elif damage.reaches == "clear":
        _dull(writer)
        _colour(writer, base=False)
    else:
        _repair(writer)
        _dull(writer)
        _colour(writer, base=True)
    tables = base_tables(damage, choice)
    return Outline({**tables, "step": [step.table for step in writer.steps]}, tuple(writer.steps))


def _polish(writer: Writer) -> None:
    here = writer.area("damage", 0.06)
    why = rule("papers.nib")
    for place, reason in enumerate((f"{why.said()}; the scratch is sanded out", why.why)):
        grade = paper_or_wanted(writer.damage, "nib", place)
        writer.block("nib", "soft pad", grade, 8.0, here, reason, "hand sand")
    writer.clean("grit of a paper under the pad scratches anew")
    polish: dict[str, Any] = {"do": "polish", "force": "40 N", "area": here}
    tables = [{**polish, "compound": one, "time": "1 s"} for one in ("medium", "fine")]
    reason = "takes the last paper's scratches out, and hardly more clear than the scratch is deep"
    for table, time in zip(tables, _polishing_times(writer, tables), strict=True):
        writer.add(why=reason, **{**table, "time": f"{time:.2g} s"})
    writer.clean("compound hides scratches until it is wiped off")


def _polishing_times(writer: Writer, tables: list[dict[str, Any]]) -> list[float]:
    """Seconds of each compound, so that all take off as much, and together what the scratch is deep (Preston)."""
    written = {**base_tables(writer.damage, writer.choice), "step": tables}
    steps = recipes.from_document(Document.of_tables(written, writer.damage.name)).steps
    off = OVER * max(writer.damage.damage.depth, LEAST_OFF) / len(steps)
    times = []
    for step in steps:
        assert isinstance(step, Polish) and step.area
        left, right, low, high = step.area
        rate = step.cuts(writer.recipe).removal["old clear"] * step.force * math.pi * step.orbit * step.rotation
        times.append(off * (right - left) * (high - low) / rate)
    return times


def _repair(writer: Writer) -> None:
    """From the sheet or the old paint to a straight surfacer, dulled on top."""
    damage, choice = writer.damage, writer.choice
    filled, beside = needs_filler(damage) or choice.skim, reach("filler-fine")
    base, out = ("filler", 0.0) if filled else ("damage", feathered(damage, choice) + reach("stripped"))
    if not filled:
        grade = paper_or_wanted(damage, "feather")
        writer.block(
            "feather", "soft pad", grade, 15.0, writer.area("damage", out), _why("papers.feather"), "hand sand"
        )
    else:
        opened = feathered(damage, choice) + reach("stripped")
        if was_rusty(damage):
            _against_rust(writer, opened)
        wide = opened + choice.filled
        ground = f"; {PROMOTER} on the bare plastic before" if damage.panel.made_of == "plastic" else ""
        writer.add(
            "fill",
            f"{_why('reach.filler', choice.filled)}; {rule('lots.filler').said()}{ground}",
            area=writer.area("damage", wide, line=True),
            proud=mm(choice.proud),
            ripple="0.06 mm",
        )
        sets = filler_sets(writer.recipe, writer.damage.garage.temperature)
        writer.wait(sets, "filler is sanded once a fingernail leaves no mark")
        inner = writer.area("damage", max(wide - reach("filler-coarse"), 0.0), line=True)
        outer = writer.area("filler", beside, line=True)
        coarse, fine = (paper_or_wanted(damage, "filler", place) for place in (0, 1))
        if choice.long != choice.short:
            writer.block("filler shape", choice.long, coarse, 40.0, inner, _why("block.spans"))
        writer.block("filler level", choice.short, coarse, 30.0, inner, _why("reach.filler-coarse"))
        writer.block(
            "filler finish",
            choice.short,
            fine,
            30.0,
            outer,
            f"{_why('papers.filler')}; {rule('reach.filler-fine').said()}",
        )
    ring = writer.area(base, out + choice.around + reach("mask"), edges=True)
    spot = writer.area(base, out + choice.around, line=True, edges=True)
    work = writer.area(base, out + choice.around, line=True)
    rim = writer.area(base, out + choice.around + reach("scuff"), edges=True)
    writer.block(
        "scuff", "soft pad", paper_or_wanted(damage, "before-surfacer"), 15.0, ring, _why("reach.scuff"), "hand sand"
    )
    writer.clean("dust and grease under a film make craters, and it peels")
    writer.add("mask", _why("reach.mask"), open=ring, edge="raised")
    if choice.primed:
        prime = writer.area(base, out + beside, edges=True)
        writer.spray("epoxy primer", prime, _why(f"ground.{damage.panel.made_of}"))
        writer.wait(writer.dried("epoxy primer", "dry_to_recoat"), "surfacer follows within the primer's window")
    coats = _why("coats.surfacer" if filled else "coats.surfacer-on-paint")
    writer.spray("surfacer", spot, f"{coats}; {rule('reach.surfacer').said(choice.around)}")
    _surfacer_blocked(writer, spot, work, rim)
    if choice.recoat:
        wider = writer.area("surfacer", reach("recoat"), edges=True)
        writer.clean("dust and grease under a film make craters, and it peels")
        writer.add(
            "mask",
            _why("reach.mask"),
            open=writer.area("surfacer", reach("recoat") + reach("mask"), edges=True),
            edge="raised",
            lip_height="8 mm",
        )
        writer.spray("surfacer", wider, _why("coats.recoat"), "recoat")
        writer.wait(writer.dried("surfacer", "dry_to_sand"), "soft film clogs paper and shrinks later")
        writer.add("unmask", "the soft edge is sanded, not torn")


def _against_rust(writer: Writer, opened: float) -> None:
    """Primer on metal that was rusty, before filler goes over it."""
    ground = writer.area("damage", opened + reach("scuff"), edges=True)
    grade = paper_or_wanted(writer.damage, "before-surfacer")
    writer.block("scuff", "soft pad", grade, 15.0, ground, _why("reach.scuff"), "hand sand")
    writer.clean("dust and grease under a film make craters, and it peels")
    writer.add(
        "mask", _why("reach.mask"), open=writer.area("damage", opened + reach("mask"), edges=True), edge="raised"
    )
    writer.spray("epoxy primer", writer.area("damage", opened, edges=True), _why("ground.rusted"))
    writer.wait(writer.dried("epoxy primer", "dry_to_recoat"), "filler follows within the primer's window")
    writer.add("unmask", "filler runs out over the edge of the primer")


def _surfacer_blocked(writer: Writer, spot: dict[str, str], work: dict[str, str], rim: dict[str, str]) -> None:
    damage, choice = writer.damage, writer.choice
    grade = paper_or_wanted(damage, "surfacer")
    writer.wait(writer.dried("surfacer", "dry_to_sand"), "soft film clogs paper and shrinks later")
    writer.add("unmask", "the soft edge is sanded, not torn")
    writer.add("guide coat", GUIDE, area=spot)
    first = choice.long if choice.spans else choice.short
    writer.block("level", first, grade, 30.0, work, _why("papers.surfacer"))
    if choice.spans:
        writer.add("guide coat", GUIDE, area=spot)
        writer.block("level short", choice.short, grade, 30.0, work, "levels what the board leaves, crosswise")
    writer.block(
        "rim",
        "soft pad",
        grade,
        10.0,
        rim,
        RIM,
        "hand sand",
    )


def _dull(writer: Writer) -> None:
    """The whole panel dulled for base and clear."""
    grade = paper_or_wanted(writer.damage, "old-clear")
    if writer.choice.machine:
        minutes = writer.strokes("finish") / 60 * writer.damage.shape.area * 8
        writer.add(
            "machine sand",
            _why("papers.old-clear"),
            "finish",
            tool="machine soft pad",
            paper=grade,
            force="15 N",
            orbit="2.5 mm",
            overhang="10 %",
            time=f"{minutes:.3g} min",
        )
    else:
        writer.block("finish", "soft pad", grade, 15.0, "all", _why("papers.old-clear"), "hand sand")
    writer.clean("the last wipe before colour: what is left shows for good")


def _colour(writer: Writer, base: bool) -> None:
    if base:
        blend = {"around": "surfacer", "by": mm(reach("blend"))}
        writer.spray("base", blend, f"{_why('coats.base')}; {_why('reach.blend')}")
        writer.wait(FLASHED * writer.dried("base", "dry_to_recoat"), "solvent leaves the base before clear closes it")
    writer.spray("clear", "all", f"{_why('extent.clear')}; {rule('coats.clear').said()}")
    writer.wait(HARDENED * writer.dried("clear", "dry_to_sand"), "clear hardens before anything touches it")


def _why(key: str, value: float | None = None) -> str:
    return rule(key).reason(value)
