"""What the plan of a repair looks like: its picture and sentence, its problems, its steps, what it uses."""

from __future__ import annotations

from coursekit.lesson.draw.panel_maps import maps_of
from coursekit.lesson.learner import unit_system
from coursekit.lesson.plan.form import PlanForm
from coursekit.lesson.repair.drag import boxes, step_table
from coursekit.lesson.screen import page
from coursekit.repair.table import summary

LEGEND = "steps: crossed = not yet, ringed = see the plan checks, bold frame = picked"
SIDE, COLUMNS = 170.0, 23  # a map, and boxes in a row: their words are large enough beside the form


def picture(form: PlanForm) -> page.Markup | str:
    """The panel before and after the picked step, or the whole repair; and the boxes of the steps."""
    played, told, system = form.played, form.sentence, unit_system.chosen()
    number = form.number_shown
    if number:
        before = played[number - 2].panel if number > 1 else played.start
        panels = [("before this step", before), ("after it", played[number - 1].panel)]
    else:
        panels = [("before the first step", played.start), ("at the end", played.panel)]
    ringed = {step for one in form.found if one.against for step in one.steps}
    drawn = maps_of(panels, form.view, system, told, SIDE) + boxes(played, number, ringed, LEGEND, COLUMNS)
    old = "" if form.as_played else " ck-stale"
    return page.tag("div", page.figure(drawn, told), class_=old.strip())


def wrong(form: PlanForm) -> page.Markup | str:
    """Errors that do not show beside their entry, and that nothing is lost."""
    told = (page.paragraph(one, "ck-error") for one in form.errors_elsewhere)
    stays = "" if form.as_played else page.paragraph("Your entries are kept. The maps show the plan before them.")
    return page.together((page.tag("div", *told, role="alert"), stays))


def note(said: str) -> page.Markup | str:
    """What is wrong with one entry, under it."""
    return page.tag("p", said, class_="ck-note", role="alert") if said else ""


def checks(form: PlanForm) -> page.Markup | str:
    """The verdicts that stop the plan, its other problems and its notes, with their remedies."""
    system = unit_system.chosen()
    stopped = [f"Step {one.step.number}, {one.step.words}: {one.verdict.text(system)}" for one in form.played.not_yet]
    against, known = ([one.text(system) for one in form.found if one.against is sort] for sort in (True, False))
    told = page.tag("h4", "Plan checks") + page.paragraph(form.against)
    for head, lines in (("", against), ("Note:", known)):
        told += (page.paragraph(head) if head and lines else "") + (page.items(lines) if lines else "")
    verdicts = page.tag("h4", "Verdicts that stop it") + page.items(stopped) if stopped else ""
    return told + verdicts


def uses(form: PlanForm) -> page.Markup | str:
    """What the whole repair takes."""
    lines = [line for kind, line in summary(form.played, unit_system.chosen()) if kind == "used"]
    return page.tag("h4", "What it uses") + page.items(lines)


def steps(form: PlanForm) -> page.Markup | str:
    """Every step with what it left and its verdict."""
    return page.tag("h4", "All its steps") + step_table(form.played).html


def said(form: PlanForm) -> page.Markup | str:
    """What the last button did, or why it did not; the sheet as a link."""
    told = page.paragraph(form.notice.text, "ck-error" if form.refused else "ck-passed") if form.notice.text else ""
    if not form.saved:
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
    parts = (part(form) for part in (picture, wrong, checks, uses, steps))
    return page.together((page.tag("h4", form.draft.title), *parts))
