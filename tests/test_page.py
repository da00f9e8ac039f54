"""The page of a notebook: style and script stand on it once, and the same input is drawn as the same text."""

import os
import re
import subprocess
import sys
from types import SimpleNamespace

import nbclient
import nbformat
import numpy as np
import pytest

from coursekit import drawing, lesson, repair
from coursekit.lesson.screen import page
from coursekit.markup import Markup, items, table, tag


def outputs(*cells):
    """The displays of each cell, run in a kernel of its own."""
    written = [nbformat.v4.new_code_cell(cell) for cell in ("from coursekit import lesson", *cells)]
    book = nbformat.v4.new_notebook(cells=written)
    nbclient.NotebookClient(book, timeout=120).execute()
    return [[output.get("data", {}) for output in cell.outputs] for cell in book.cells[1:]]


def dressed(displays):
    return sum("<style class=" in data.get("text/html", "") for data in displays), sum(
        "coursekitNames" in data.get("application/javascript", "") for data in displays
    )


@pytest.mark.parametrize(
    "cells",
    [
        ["lesson.ready()", 'lesson.worked("film-1")', 'lesson.bench("film")', 'lesson.exercise("film-1")'],
        ['lesson.bench("film")', 'lesson.glossary("film")'],
        ["lesson.path()"],
    ],
)
def test_style_and_script_stand_on_the_page_once(cells, tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))
    found = outputs(*cells)
    assert [dressed(displays) for displays in found] == [(1, 1)] + [(0, 0)] * (len(cells) - 1)


def test_the_cell_that_carries_the_style_carries_it_again_when_it_is_run_again(monkeypatch):
    shown = []
    run = {"metadata": {}, "header": {}}
    monkeypatch.setattr(page, "_carrier", None)
    monkeypatch.setattr(page, "get_ipython", lambda: SimpleNamespace(kernel=None, get_parent=lambda: run))
    monkeypatch.setattr(page, "display", lambda data, raw: shown.append(data))

    def dress(cell, number, **more):
        shown.clear()
        run.update(metadata={"cellId": cell}, header={"msg_id": number})
        page.dress(**more)
        return len(shown)

    assert [dress("a", "1"), dress("a", "1"), dress("b", "2"), dress("a", "3"), dress("b", "4")] == [2, 0, 0, 2, 0]
    assert [dress("c", "5", again=True), dress("a", "6"), dress("c", "7")] == [2, 0, 2]


def test_same_input_same_text():
    """In this process and in another: no name in a drawing is drawn by lot."""
    told = [lesson.bench("film").html, lesson.bench("mix").html, repair.job_sheet(repair.demo_path("door_repair"))]
    for made in told:
        assert not re.search(r"\sid=|url\(", made), "nothing in a drawing has a name that another could share"
    code = (
        "import hashlib, sys; from coursekit import lesson, repair;"
        "told = [lesson.bench('film').html, lesson.bench('mix').html,"
        " repair.job_sheet(repair.demo_path('door_repair'))];"
        "sys.stdout.buffer.write('\\0'.join(told).encode())"
    )
    for seed in ("1", "2"):
        done = subprocess.run(
            [sys.executable, "-c", code], capture_output=True, check=True, env={**os.environ, "PYTHONHASHSEED": seed}
        )
        assert done.stdout.decode().split("\0") == told


def test_markup_is_escaped_by_type():
    assert tag("p", "a < b", Markup("<br/>"), class_="x y", title="") == '<p class="x y">a &lt; b<br/></p>'
    assert tag("path", d="M0 0", stroke_width=2, fill=None) == '<path d="M0 0" stroke-width="2"/>'
    assert items(["<b>", tag("b", "&")]) == "<ul><li>&lt;b&gt;</li><li><b>&amp;</b></li></ul>"
    found = table(("<", ">"), [("a", tag("i", "b"))], first=True, caption="c & d")
    assert "<caption>c &amp; d</caption>" in found and '<th scope="row">a</th><td><i>b</i></td>' in found


def test_hatching_stays_inside_its_outline():
    outline = ((3.0, 5.0), (43.0, 5.0), (43.0, 25.0), (23.0, 12.0), (3.0, 25.0))  # a notch from below
    for kind in ("slant", "back", "cross", "level", "upright"):
        drawn = drawing.hatched(kind, outline, 4.0, 1.0)
        lines = np.array(re.findall(r"M([\d.]+),([\d.]+)L([\d.]+),([\d.]+)", drawn), dtype=float)
        x, y = (lines[:, :2] + lines[:, 2:]).T / 2
        floor = 25 - 13 * (1 - np.abs(x - 23) / 20)
        assert np.all((x > 2.9) & (x < 43.1) & (y > 4.9) & (y < floor + 0.2)), kind
        length = np.hypot(*(lines[:, 2:] - lines[:, :2]).T).sum()
        apart = 4 / np.sqrt(2) if kind in ("slant", "back", "cross") else 2
        area = 40 * 20 - 0.5 * 40 * 13
        assert length == pytest.approx(area / apart * (2 if kind == "cross" else 1), rel=0.15), kind
    assert drawing.hatched("slant", outline, 4.0, 1.0) == drawing.hatched("slant", outline, 4.0, 1.0)
    assert drawing.hatched("dots", drawing.corners(0.3, 0.3, 0.1, 0.1), 4.0, 1.0) == "", "too small for a dot"


def test_text_follows_the_size_chosen_in_lab():
    style = str(page.style())
    assert "var(--jp-content-font-size1" in style
    assert not re.search(r"font-size:\s*[\d.]+(px|pt)", style), "a size of its own does not grow with Lab's"
