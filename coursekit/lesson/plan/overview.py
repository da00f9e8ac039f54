"""What the plan of a repair looks like: its picture and sentence, its problems, its steps, what it uses."""

from __future__ import annotations

import base64

from coursekit.lesson.draw.panel_maps import maps_of
from coursekit.lesson.learner import unit_system
from coursekit.lesson.plan.form import PlanForm
from coursekit.lesson.repair.drag import boxes, step_table
from coursekit.lesson.screen import page
from coursekit.repair.table import summary

LEGEND = "steps: crossed = not yet, ringed = see the plan checks, bold frame = picked"
SIDE, COLUMNS = 170.0, 23  # a map, and boxes in a row: their words are large enough beside the form


def picture(form: PlanForm) -> str:
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
    return f'<div class="{old.strip()}">{page.figure(drawn, told)}</div>'


def wrong(form: PlanForm) -> str:
    """Errors that do not show beside their entry, and that nothing is lost."""
    told = "".join(page.paragraph(one, "ck-error") for one in form.errors_elsewhere)
    stays = "" if form.as_played else page.paragraph("Your entries are kept. The maps show the plan before them.")
    return f'<div role="alert">{told}</div>{stays}'


def note(said: str) -> str:
    """What is wrong with one entry, under it."""
    return f'<p class="ck-note" role="alert">{page.escape(said)}</p>' if said else ""


def checks(form: PlanForm) -> str:
    """The verdicts that stop the plan, its other problems and its notes, with their remedies."""
    system = unit_system.chosen()
    stopped = [f"Step {one.step.number}, {one.step.words}: {one.verdict.text(system)}" for one in form.played.not_yet]
    against, known = ([one.text(system) for one in form.found if one.against is sort] for sort in (True, False))
    told = f"<h4>Plan checks</h4>{page.paragraph(form.against)}"
    for head, lines in (("", against), ("Note:", known)):
        told += (page.paragraph(head) if head and lines else "") + (page.items(lines) if lines else "")
    verdicts = f"<h4>Verdicts that stop it</h4>{page.items(stopped)}" if stopped else ""
    return told + verdicts


def uses(form: PlanForm) -> str:
    """What the whole repair takes."""
    lines = [line for kind, line in summary(form.played, unit_system.chosen()) if kind == "used"]
    return f"<h4>What it uses</h4>{page.items(lines)}"


def steps(form: PlanForm) -> str:
    """Every step with what it left and its verdict."""
    return f"<h4>All its steps</h4>{step_table(form.played).html}"


def said(form: PlanForm) -> str:
    """What the last button did, or why it did not; the sheet as a link."""
    told = page.paragraph(form.notice.text, "ck-error" if form.refused else "ck-passed") if form.notice.text else ""
    if not form.saved:
        told += page.paragraph(
            "What stands here is not in a file yet."
            if form.kept.file is None
            else f"What you changed since is not in {form.kept.file.name} yet."
        )
    if form.sheet_path is None or form.notice.kind != "sheet":
        return f'<div role="status">{told}</div>'
    data = base64.b64encode(form.sheet_path.read_bytes()).decode()
    link = (
        f'<p><a download="{page.escape(form.sheet_path.name)}" href="data:text/html;base64,{data}" '
        'style="text-decoration: underline">Save the sheet from this page</a></p>'
    )
    return f'<div role="status">{told}{link}</div>'


def html(form: PlanForm) -> str:
    """The form for pages without widgets."""
    parts = "".join(part(form) for part in (picture, wrong, checks, uses, steps))
    return f"<h4>{page.escape(form.draft.title)}</h4>{parts}"
