"""Every notebook: its parts, its short cells, no outputs; and run from top to bottom without a browser."""

import re
from pathlib import Path

import nbclient
import nbformat
import pytest

from coursekit.course.notebooks import notebooks
from tests import reading_time

NOTEBOOKS = sorted((Path(__file__).parents[1] / "notebooks").glob("*.ipynb"))
CASES = [pytest.param(path, id=path.stem) for path in NOTEBOOKS]
FOR_INSTRUCTORS = {"25-teach-a-class"}
FOR_LEARNERS = [case for case in CASES if case.id not in FOR_INSTRUCTORS]
# It leads to the others: its bench stands first.
OTHER_FORM = {"00-start-here"}
LONGEST = 20  # minutes of text
LESSONS = [case for case in FOR_LEARNERS if case.id not in OTHER_FORM]


def code_of(notebook):
    return [cell.source for cell in notebook.cells if cell.cell_type == "code"]


def count(notebook, call):
    return sum(len(re.findall(rf"lesson\.{call}\(", source)) for source in code_of(notebook))


def headings(notebook):
    text = "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")
    return re.findall(r"^#+ (.+)$", text, re.MULTILINE)


@pytest.mark.parametrize("path", CASES)
def test_carries_no_outputs_and_opens_without_a_question(path):
    notebook = nbformat.read(path, nbformat.NO_CONVERT)
    nbformat.validate(notebook)
    assert notebook.metadata.kernelspec.name == "python3" and "widgets" not in notebook.metadata
    for cell in notebook.cells:
        if cell.cell_type == "code":
            assert cell.outputs == [] and cell.execution_count is None
            assert len(cell.source.splitlines()) <= 2, cell.source
    assert len({cell.id for cell in notebook.cells}) == len(notebook.cells)
    assert "lesson.ready()" in code_of(notebook)[0]


@pytest.mark.parametrize("path", FOR_LEARNERS)
def test_has_the_parts_of_a_lesson(path):
    notebook = nbformat.read(path, nbformat.NO_CONVERT)
    assert count(notebook, "bench") >= 1 and count(notebook, "worked") >= 2 and count(notebook, "exercise") >= 3
    assert count(notebook, "predict") >= 1 and count(notebook, "cautions") >= 1
    assert {"What goes wrong", "Cautions"} <= set(headings(notebook))
    assert "**Question.**" in notebook.cells[0].source


@pytest.mark.parametrize("path", CASES)
def test_shows_the_cautions_that_its_paper_carries(path):
    row = next(row for row in notebooks() if row["file"] == path.stem)
    code = "\n".join(code_of(nbformat.read(path, nbformat.NO_CONVERT)))
    calls = [re.findall(r'"([^"]+)"', call) for call in re.findall(r"lesson\.cautions\((.*?)\)", code)]
    assert calls and row["cautions"] == ("all" if [] in calls else [topic for call in calls for topic in call])


@pytest.mark.parametrize("path", LESSONS)
def test_parts_of_a_lesson_stand_in_their_order(path):
    notebook = nbformat.read(path, nbformat.NO_CONVERT)
    found = [
        heading
        for heading in headings(notebook)
        if heading.startswith(
            ("Predict", "Try", "Worked", "Your turn", "What goes wrong", "Cautions", "In the garage")
        )
    ]
    assert [heading.split()[0] for heading in found] == ["Predict", "Try", "Worked", "Your", "What", "Cautions", "In"]


@pytest.mark.parametrize("path", CASES)
def test_runs_from_top_to_bottom_reads_without_a_browser_and_takes_twenty_minutes_to_read_at_most(
    path, tmp_path, monkeypatch, forked_kernels
):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))
    if path.stem not in OTHER_FORM:  # which starts a kernel as Jupyter does
        monkeypatch.setenv("JUPYTER_PATH", forked_kernels)
    notebook = nbformat.read(path, nbformat.NO_CONVERT)
    client = nbclient.NotebookClient(notebook, timeout=120, resources={"metadata": {"path": str(tmp_path)}})
    client.execute()
    for cell in notebook.cells:
        if cell.cell_type == "code" and "lesson." in cell.source:
            outputs = [o for o in cell.outputs if o.output_type in ("execute_result", "display_data")]
            text = " ".join(o.data.get("text/plain", "") for o in outputs).strip()
            assert len(text) > 20, f"{cell.source} says nothing without a browser"
            assert not re.search(r"<\w|VBox|object at 0x|\{\w+\}", text), text
            assert not [o for o in cell.outputs if o.output_type in ("stream", "error")], cell.outputs
    assert 3 < reading_time.minutes(notebook) <= LONGEST


def test_the_notebook_for_instructors_shows_all_that_there_is_for_them():
    notebook = nbformat.read(NOTEBOOKS[-1], nbformat.NO_CONVERT)
    assert NOTEBOOKS[-1].stem in FOR_INSTRUCTORS and len(FOR_INSTRUCTORS) == 1
    for call in ("wall", "script", "learner_set", "paper", "class_progress"):
        assert count(notebook, call) >= 1, call
    text = "\n".join(cell.source for cell in notebook.cells)
    assert "join_class(" in text and "hand_in(" in text and "not clearance" in text
