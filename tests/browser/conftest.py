"""One Lab and one browser for all tests in this folder; a new page for each."""

import os
import shutil
from pathlib import Path

import pytest

from tests.browser import serving

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"


@pytest.fixture(scope="session")
def lab(tmp_path_factory):
    """Address of a served copy of the notebooks; the learner's folder is `lab.home`."""
    root = tmp_path_factory.mktemp("lab")
    shutil.copytree(NOTEBOOKS, root / "notebooks", ignore=shutil.ignore_patterns(".ipynb_checkpoints"))
    with serving.served_lab(root) as served:
        yield served


@pytest.fixture(scope="session")
def chromium():
    if remedy := serving.missing():
        (pytest.fail if os.environ.get("CI") else pytest.skip)(remedy)
    with serving.headless_chromium() as browser:
        yield browser


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    report = yield
    if call.when == "call":
        item.failed = report.failed
    return report


@pytest.fixture
def page(chromium, shots, request):
    context = chromium.new_context(viewport={"width": 1280, "height": 800})
    context.set_default_timeout(serving.PATIENCE)
    opened = context.new_page()
    yield opened
    if getattr(request.node, "failed", False):
        opened.screenshot(path=shots / f"failed-{request.node.name}.png")
    context.close()


@pytest.fixture(scope="session")
def shots(tmp_path_factory):
    """Where screenshots go, to be looked at."""
    kept = os.environ.get("COURSEKIT_SHOTS")
    folder = Path(kept) if kept else tmp_path_factory.mktemp("shots")
    folder.mkdir(parents=True, exist_ok=True)
    return folder
