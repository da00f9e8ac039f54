"""A lesson exported as a page: each bench is a still with its sentence, wherever there is no kernel behind it."""

import os
import re
import subprocess
import sys
from html import unescape
from pathlib import Path

import nbclient
import nbformat
import pytest

ROOT = Path(__file__).parents[1]
CONFIG = ROOT / "coursekit" / "course" / "lab" / "export"
CODE = (
    "from coursekit import lesson\nlesson.ready()",
    'lesson.bench("film")',
    'lesson.predict("film-thinned")',
    'lesson.exercise("film-1")',
)
SENTENCE = "120 µm wet leaves 54 µm dry: 55\N{NARROW NO-BREAK SPACE}% of the wet film evaporates"  # of the bench


@pytest.fixture(scope="module")
def executed(tmp_path_factory):
    """A lesson executed by a client that keeps the state of its widgets."""
    folder = tmp_path_factory.mktemp("export")
    cells = [nbformat.v4.new_code_cell(source) for source in CODE]
    notebook = nbformat.v4.new_notebook(cells=cells)
    kept = os.environ.get("COURSEKIT_HOME")
    os.environ["COURSEKIT_HOME"] = str(folder / "home")
    try:
        nbclient.NotebookClient(notebook, timeout=120, kernel_name="python3").execute()
    finally:
        os.environ.pop("COURSEKIT_HOME") if kept is None else os.environ.update(COURSEKIT_HOME=kept)
    assert notebook.metadata.widgets, "else nothing is shown by this test"
    nbformat.write(notebook, folder / "lesson.ipynb")
    return folder / "lesson.ipynb"


def exported(notebook, form, config):
    """What an export holds, without the parts that a browser must fetch."""
    command = [sys.executable, "-m", "nbconvert", "--to", form, "--stdout", str(notebook)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, env={**os.environ, **config})
    assert done.returncode == 0, done.stderr
    return done.stdout


def seen(page):
    """What stands on the page itself, without what a script would have to put there."""
    return re.sub(r"<script.*?</script>", "", page.split("<body", 1)[1], flags=re.DOTALL)


def test_html_shows_the_still_and_its_sentence(executed):
    page = exported(executed, "html", {"JUPYTER_CONFIG_PATH": str(CONFIG)})
    body = seen(page)
    assert body.count("<svg") >= 1 and 'class="jupyter-widgets' not in body
    words = unescape(re.sub(r"<[^>]+>", "", body))
    assert SENTENCE in words and "Predict first" in words and "From the comb to the dry film" in words


def test_without_the_settings_it_would_be_an_empty_box(executed, tmp_path):
    """What the settings are for: should this pass no more, they can go."""
    page = exported(executed, "html", {"JUPYTER_CONFIG_PATH": str(tmp_path), "JUPYTER_CONFIG_DIR": str(tmp_path)})
    assert seen(page).count("<svg") == 0


@pytest.mark.parametrize("form", ["markdown", "rst"])
def test_other_forms_say_the_sentence(executed, form):
    told = exported(executed, form, {"JUPYTER_CONFIG_PATH": str(CONFIG)})
    assert f'<p class="ck-words">{SENTENCE}' in told and f'role="img" aria-label="{SENTENCE}' in told
    assert "Predict first" in told and "From the comb to the dry film" in told


def test_both_places_say_the_same():
    """`jupyter nbconvert` and Lab's menu read their own files."""
    files = sorted(CONFIG.glob("*.json"))
    assert len(files) == 2 and files[0].read_bytes() == files[1].read_bytes()
