"""What the plan of a repair looks like: the panel drawn, the steps with their reasons, its maps, its problems."""

from __future__ import annotations

from typing import Any

from coursekit.lesson.draw.panel_maps import maps_of
from coursekit.lesson.draw.panel_place import panel_drawing
from coursekit.lesson.learner import unit_system
from coursekit.lesson.pages.cautions import care_of
from coursekit.lesson.plan.beside import HEAD, cost, pieces_of, row, turned
from coursekit.lesson.plan.form import PlanForm
from coursekit.lesson.screen import page
from coursekit.panel.shapes import edges_of
from coursekit.quantities import InputError, shown
from coursekit.repair import Proposal, judging, sheet_packs, timetable
from coursekit.repair.cautioning import NOT_CLEARANCE
from coursekit.repair.damage import Stock
from coursekit.repair.given import Place
from coursekit.repair.planned import figures_of
from coursekit.repair.table import summary as in_words
from coursekit.repair.words import panel_words, reason_words, say, seen_from, time_words

SIDE = 150.0  # px of a map, so that two of them and their key stand beside the form


def place(form: PlanForm) -> page.Markup | str:
    """The panel with the damage on it, and the areas of the plan around it."""
    system = unit_system.chosen()
    try:
        damage = form.good.draft.damage()
    except InputError:
        return page.paragraph("The drawing waits until panel and place can be read.")
    (x, y), there = damage.corner, damage.damage
    area = x, x + there.width, y, y + there.height
    around: dict[str, Place] = {}
    for step in form.recipe.steps if form.good.recipe else ():
        reach = getattr(step, "area", None)
        if step.brings in ("filler", "surfacer", "clear") and reach is not None:
            around.setdefault(step.brings, reach)
    first, _, below, _ = edges_of(damage.panel.kind)
    words = (
        f"{panel_words(damage.panel.kind, system)}, seen from {seen_from(damage.panel.kind)}. "
        f"The damage lies {shown(x, 'place', system, 3)} from the {first} "
        f"and {shown(y, 'place', system, 3)} from the {below}. Arrow keys move it."
    )
    return panel_drawing(damage.shape, area, list(around.items()), system, words)


def task(form: PlanForm) -> page.Markup | str:
    """The set task that is worked on, and what the judge says of the plan."""
    if not form.task:
        return ""
    system = unit_system.chosen()
    told = [page.paragraph(next(one for one in judging.tasks() if one.name == form.task).brief(system), "ck-kept")]
    found = form.judgement
    if found is not None and form.good.recipe is not None and found.played.recipe == form.good.recipe:
        told.append(page.status(page.items(found.lines(system))))
    elif found is not None:
        told.append(page.paragraph("The plan was changed since it was judged."))
    return page.together(told)


def strip(form: PlanForm) -> page.Markup | str:
    """Every step with why it is there, what it takes and its verdict."""
    played = form.played
    if played is None:
        return ""
    ringed = {step for one in form.found if one.against for step in one.steps}
    numbers = {table.id: number for number, table in enumerate(form.draft.steps, 1)}
    lines = []
    for table, entry in zip(form.good.draft.steps, played, strict=True):
        number = numbers.get(table.id)
        verdict = "go on" if entry.verdict.go else "not yet"
        if entry.step.number in ringed:
            verdict += ", see the checks"
        pick = page.tag(
            "button",
            str(number or "–"),
            type="button",
            class_="ck-go-step",
            data_step=str(number or 0),
            aria_label=f"step {number or 'taken out'}: {entry.step.words}",
        )
        why = reason_words(table.why, unit_system.chosen()) or "your own step"
        took = time_words(entry.ended - entry.began)
        lines.append(
            page.tag(
                "tr",
                page.tag("td", pick),
                page.tag("td", page.tag("strong", entry.step.words), " – ", why),
                page.tag("td", took),
                page.tag("td", page.tag("strong", verdict) if verdict != "go on" else verdict),
                class_="ck-picked" if number == form.number else "",
            )
        )
    head = page.tag(
        "tr", *(page.tag("th", words, scope="col") for words in ("", "step, and why", "takes", "verdict"))
    )
    table_ = page.tag("table", page.tag("thead", head), page.tag("tbody", *lines))
    return page.tag("div", table_, class_="ck-steps", tabindex="0", role="region", aria_label="Steps of the plan")


def summary(form: PlanForm) -> page.Markup | str:
    """What the plan takes, whether it holds, what binds it; or why there is none."""
    system, found, played = unit_system.chosen(), form.proposal, form.played
    told: list[Any] = []
    if found is not None and found.refused:
        told += [
            page.tag("p", "No plan is made:", role="alert"),
            page.items(one.text(system, form=True) for one in found.refused),
        ]
    elif found is not None and found.plan is not None and not found.holds:
        told += [
            page.tag("p", "No plan was found that holds. This one comes nearest; it fails here:", role="alert"),
            page.items(found.troubles_in(system)),
            page.paragraph(found.remedy(system)),
        ]
    if played is None:
        return page.together(told)
    figures = figures_of(played)
    line = (
        f"{len(played)} steps. {time_words(figures.work)} of work, {time_words(figures.until_clear)} to the last "
        f"coat, {time_words(played.time)} until it is hard. {say(figures.paint, 'paint_volume', system)} of paint, "
        f"film {say(figures.film, 'film', system)}, {pieces_of(played)} pieces of paper and discs."
    )
    told += [page.paragraph(line), page.paragraph(NOT_CLEARANCE)]
    if (by_clock := timetable.of(played)) is not None:
        told.append(page.folded("By the clock", page.items(by_clock.lines())))
    if form.waits_anew:
        numbers = ", ".join(map(str, form.waits_anew))
        words = f"wait of step {numbers} is" if len(form.waits_anew) == 1 else f"waits of steps {numbers} are"
        told.append(page.paragraph(f"The {words} made anew for this change.", "ck-kept"))
    if form.unfit:
        told.append(page.paragraph(f"It fits no start in the working hours: {form.unfit}", "ck-wait"))
    if found is not None and found.plan is not None:
        told += [page.paragraph(held(found))] if found.plan.hands else []
        first = [*found.before()]
        told.append(page.folded("Before step 1, and what binds the plan", page.items([*first, *found.binds(system)])))
        if not form.proposed_for_this:
            told.append(
                page.paragraph("The steps were proposed for other answers; they are replayed for these.", "ck-wait")
            )
        elif found.taken:
            told.append(page.paragraph(found.taken))
    return page.together(told)


def care(form: PlanForm) -> page.Markup | str:
    """The first caution of each kind of work that the plan asks for, whatever the verdicts say."""
    if form.played is None:
        return ""
    return care_of(form.played).html


def held(found: Proposal) -> str:
    """With how many hands the plan held."""
    assert found.plan is not None
    stray = f"{found.damage.wish.hand:.0%}"
    return f"As proposed: {found.plan.held} of {found.plan.hands} hands that vary by {stray} come through."


def change(form: PlanForm) -> page.Markup | str:
    """What the last change costs, and which verdicts it turned."""
    before, now = form.before, form.good
    if before is None or before.played is None or now.played is None or now.played is before.played or now.rough:
        return ""
    if before.rough:
        return ""
    system = unit_system.chosen()
    other = turned((before.draft.steps, before.played), (now.draft.steps, now.played))
    told = f"This change: {cost(before.played, now.played, system)}. Verdicts turned: {'; '.join(other) or 'none'}."
    return page.paragraph(told, "ck-kept")


def beside(form: PlanForm) -> page.Markup | str:
    """The plans that are kept, and the one that stands here."""
    if not form.beside:
        return ""
    system = unit_system.chosen()
    rows = [one.rows[system] for one in form.beside]
    if form.played is not None and not form.good.rough:
        rows.append(row("here", form.played, system))
    return page.table(HEAD, rows)


def picture(form: PlanForm) -> page.Markup | str:
    """The panel before and after the picked step, or the whole repair."""
    played, told, system = form.played, form.sentence, unit_system.chosen()
    if played is None:
        return page.figure("", told)
    number = form.number_shown
    if number:
        before = played[number - 2].panel if number > 1 else played.start
        panels = [("before this step", before), ("after it", played[number - 1].panel)]
    else:
        panels = [("before the first step", played.start), ("at the end", played.panel)]
    if form.good.rough:
        told = "Rough, while the exact one is played."
    return page.figure(maps_of(panels, form.view, system, told, SIDE), told)


def wrong(form: PlanForm) -> page.Markup | str:
    """What cannot be and does not show beside its entry; nothing is lost by it."""
    told = [page.paragraph(one, "ck-error") for one in form.errors_elsewhere]
    if form.stuck:
        stays = "Your entries are kept. What is grey is the plan as it was before them."
    elif told or not form.as_played:
        stays = "Your entries are kept. What cannot be waits, and the rest is played."
    else:
        stays = ""
    return page.together((page.tag("div", *told, role="alert"), page.paragraph(stays) if stays else ""))


def note(said: str) -> page.Markup | str:
    """What is wrong with one entry, under it."""
    return page.tag("p", said, class_="ck-note", role="alert") if said else ""


def checks(form: PlanForm) -> page.Markup | str:
    """The verdicts that stop the plan, its other problems and its notes, with their remedies."""
    system = unit_system.chosen()
    if form.played is None:
        return ""
    stopped = [f"Step {one.step.number}, {one.step.words}: {one.verdict.text(system)}" for one in form.played.not_yet]
    against, known = ([one.text(system) for one in form.found if one.against is sort] for sort in (True, False))
    told = page.tag("h4", "Plan checks") + page.paragraph(form.against)
    for head, lines in (("", against), ("Note:", known)):
        told += (page.paragraph(head) if head and lines else "") + (page.items(lines) if lines else "")
    verdicts = page.tag("h4", "Verdicts that stop it") + page.items(stopped) if stopped else ""
    return told + verdicts


def uses(form: PlanForm) -> page.Markup | str:
    """What the whole repair takes, folded."""
    if form.played is None:
        return ""
    lines = [line for kind, line in in_words(form.played, unit_system.chosen()) if kind == "used"]
    return page.folded("What it uses", page.items(lines))


def shopping(form: PlanForm) -> page.Markup | str:
    """What a shop has to give, in whole packs, for the whole repair and with what is there; folded."""
    if form.played is None:
        return ""
    words = "Usual packs; shops differ. What you have counts as enough: check how much is in it."
    try:
        stock = form.good.draft.damage().stock
    except InputError:  # a plan that was opened without its damage
        stock = Stock()
    rows = sheet_packs.shopping(form.played, stock, unit_system.chosen())
    return page.folded("Shopping list", page.together((page.paragraph(words), page.table(sheet_packs.HEAD, rows))))


def said(form: PlanForm) -> page.Markup | str:
    """What the last button did, or why it did not; the sheet as a link."""
    told = page.paragraph(form.notice.text, "ck-error" if form.refused else "ck-passed") if form.notice.text else ""
    if form.played is not None and not form.saved:
        told += page.paragraph(
            "What stands here is not in a file yet."
            if form.kept.file is None
            else f"What you changed since is not in {form.kept.file.name} yet."
        )
    if form.sheet_path is None or form.notice.kind != "sheet":
        return page.status(told)
    return page.status(told, page.download(form.sheet_path.name, form.sheet_path.read_bytes()))


def html(form: PlanForm) -> page.Markup | str:
    """The form for pages without widgets."""
    parts = (task, place, summary, strip, picture, wrong, checks, care, beside, uses, shopping)
    return page.together((page.tag("h4", form.draft.title), *(part(form) for part in parts)))
