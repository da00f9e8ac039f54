"""The order of the work for each depth of damage, with a reason for every step."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from coursekit.nomenclature import number_of
from coursekit.repair import recipe as recipes
from coursekit.repair.areas import STRIP
from coursekit.repair.damage import PROMOTER, Damage
from coursekit.repair.outline import (
    LEAST_OFF,
    OVER,
    RIPPLE,
    Choice,
    Outline,
    Writer,
    base_tables,
    feathered,
    filled_at,
    fills_in_booth,
    is_polished_out,
    is_primed_first,
    mm,
    needs_filler,
    paper_or_wanted,
    polishing,
    stripped,
    usual_films,
)
from coursekit.repair.recipe import Recipe
from coursekit.repair.rules import reach, rule
from coursekit.repair.steps import Fill, HandSand, Polish, Step
from coursekit.repair.vocabulary import tools
from coursekit.repair.waiting import FLASHED, HARDENED, filler_sets, written
from coursekit.tomlfile import Document

OUT = 0.06  # m around a scratch in the clear that is sanded with it: half a pad (assumed)
BLUNTED = 4  # times the strokes are reckoned anew with what so many blunt the paper to
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
        _sand_out(writer)
        _dull(writer)
        _colour(writer, base=False)
    else:
        _repair(writer)
        _dull(writer)
        _colour(writer, base=True)
    tables = base_tables(damage, choice)
    return Outline({**tables, "step": [step.table for step in writer.steps]}, tuple(writer.steps))


def _polish(writer: Writer) -> None:
    here = writer.area("damage", OUT)
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


def _steps_of(writer: Writer, tables: list[dict[str, Any]]) -> Sequence[Step]:
    """Tables of steps as the steps that they are."""
    recipe = {**base_tables(writer.damage, writer.choice), "step": tables}
    return recipes.from_document(Document.of_tables(recipe, writer.damage.name)).steps


def _polishing_times(writer: Writer, tables: list[dict[str, Any]]) -> list[float]:
    """Seconds of each compound, so that all take off as much, and together what the scratch is deep (Preston)."""
    steps = _steps_of(writer, tables)
    off = OVER * max(writer.damage.scratch, LEAST_OFF) / len(steps)
    times = []
    for step in steps:
        assert isinstance(step, Polish) and step.area
        left, right, low, high = step.area
        rate = step.cuts(writer.recipe).removal["old clear"] * step.force * math.pi * step.orbit * step.rotation
        times.append(off * (right - left) * (high - low) / rate)
    return times


def _sand_out(writer: Writer) -> None:
    """A scratch that is too deep to be polished out, sanded out of the clear: as long as that takes (Preston)."""
    damage, grade = writer.damage, paper_or_wanted(writer.damage, "old-clear")
    table: dict[str, Any] = {
        "do": "hand sand",
        "tool": "soft pad",
        "paper": grade,
        "force": "15 N",
        "area": writer.area("damage", OUT),
        "overhang": "10 %",
    }
    (step,) = _steps_of(writer, [{**table, "strokes": 1}])
    assert isinstance(step, HandSand) and step.area is not None
    tool, strokes = step.holds(), 1.0
    left, right, low, high = step.area
    for _ in range(BLUNTED):
        slid = strokes * tool.length * max((right - left) * (high - low) / tool.area, 1.0)
        strokes = (
            OVER * damage.scratch * tool.width / step.cuts(writer.recipe, slid).removal["old clear"] / step.force
        )
    why = f"{_why('scratch.out')}. Polished out, {polishing(damage).reason[:-1]}"
    writer.add(why=why, **{**table, "strokes": math.ceil(strokes)})


def _repair(writer: Writer) -> None:
    """From the sheet or the old paint to a straight surfacer, dulled on top."""
    damage, choice = writer.damage, writer.choice
    filled, beside = needs_filler(damage) or choice.skim, reach("filler-fine")
    opened = feathered(damage, choice) + stripped(damage)
    base, out = ("filler", 0.0) if filled else ("damage", opened)
    if not filled:
        grade = paper_or_wanted(damage, "feather")
        writer.block(
            "feather", "soft pad", grade, 15.0, writer.area("damage", out), _why("papers.feather"), "hand sand"
        )
    else:
        if is_primed_first(damage):
            _primed_first(writer, opened)
        wide = opened + choice.filled
        ground = f"; {PROMOTER} on the bare plastic before" if damage.panel.made_of == "plastic" else ""
        reasons = ["chip.filler", "chip.proud"] if damage.is_chip else []
        reasons += ["place.filler"] if fills_in_booth(damage) else []
        why = "; ".join([_why("reach.filler", choice.filled), *map(_why, reasons), rule("lots.filler").said()])
        here = writer.area("damage", wide, line=True)
        proud = rule("chip.proud").value if damage.is_chip else choice.proud
        _fill(writer, f"{why}{ground}", here, proud)
        sets = filler_sets(writer.recipe, filled_at(damage))
        writer.wait(sets, "filler is sanded once a fingernail leaves no mark")
        inner = writer.area("damage", max(wide - reach("filler-coarse"), 0.0), line=True)
        outer = writer.area("filler", beside, line=True)
        coarse, fine = (paper_or_wanted(damage, "filler", place) for place in (0, 1))
        if choice.long != choice.short and not damage.is_chip:
            writer.block("filler shape", choice.long, coarse, 40.0, inner, _why("block.spans"))
        if not damage.is_chip:
            writer.block("filler level", choice.short, coarse, 30.0, inner, _why("reach.filler-coarse"))
        if choice.again:
            writer.clean("filler does not hold on dust")
            thin = rule("coats.second-filler")
            _fill(writer, f"{thin.reason()}; {rule('lots.filler').said()}", here, thin.value)
            writer.wait(sets, "filler is sanded once a fingernail leaves no mark")
        papers = _why("chip.paper" if damage.is_chip else "papers.filler")
        finished = f"{papers}; {rule('reach.filler-fine').said()}"
        writer.block("filler finish", choice.short, fine, 30.0, outer, finished)
        _along_lines(writer, "filler line", fine, wide)
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
    _surfacer_blocked(writer, spot, work, rim, opened + choice.around + (choice.filled if filled else 0.0))
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


def _fill(writer: Writer, why: str, area: dict[str, str], proud: float) -> None:
    time = _spreading(writer, area)
    writer.add("fill", why, area=area, time=time, proud=mm(proud), ripple=mm(RIPPLE * proud))


def _spreading(writer: Writer, area: dict[str, str]) -> str:
    """How long filler takes to mix and to spread over an area, as a recipe writes it."""
    pace = rule("pace.filler").more
    (step,) = _steps_of(writer, [{"do": "fill", "area": area}])
    assert isinstance(step, Fill) and step.area is not None
    left, right, low, high = step.area
    seconds = number_of(pace["mixing"]) + number_of(pace["spreading"]) * (right - left) * (high - low)
    return written(math.ceil(seconds / 30) / 2)


def _primed_first(writer: Writer, opened: float) -> None:
    """Primer on metal that was rusty or has a chip, before filler goes over it."""
    damage = writer.damage
    ground = writer.area("damage", opened + reach("scuff"), edges=True)
    grade = paper_or_wanted(damage, "before-surfacer")
    writer.block("scuff", "soft pad", grade, 15.0, ground, _why("reach.scuff"), "hand sand")
    writer.clean("dust and grease under a film make craters, and it peels")
    writer.add(
        "mask", _why("reach.mask"), open=writer.area("damage", opened + reach("mask"), edges=True), edge="raised"
    )
    why = _why("ground.rusted" if damage.damage.on_it == "rust" else "chip.primer")
    writer.spray("epoxy primer", writer.area("damage", opened, edges=True), why)
    writer.wait(writer.dried("epoxy primer", "dry_to_recoat"), "filler follows within the primer's window")
    writer.add("unmask", "filler runs out over the edge of the primer")


def _surfacer_blocked(
    writer: Writer, spot: dict[str, str], work: dict[str, str], rim: dict[str, str], reach_of: float
) -> None:
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
    _along_lines(writer, "line", grade, reach_of)
    writer.block(
        "rim",
        "soft pad",
        grade,
        10.0,
        rim,
        RIM,
        "hand sand",
    )


def _along_lines(writer: Writer, role: str, grade: str, by: float) -> None:
    """The block along each body line that an area reaches, its edge at the tape: there the others hardly come."""
    tool = writer.choice.short
    off = tools()[tool]["width"] / 2 + STRIP / 2
    for up_to in writer.sides_reached(by):
        area = {**writer.area("damage", by), "up_to": up_to, "beside": mm(off)}
        writer.block(role, tool, grade, 30.0, area, _why("block.line"))
        writer.steps[-1].table["direction"] = "along"


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
