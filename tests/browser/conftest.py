"""One Lab and one browser for all tests in this folder."""

import os
import shutil
from pathlib import Path

import pytest

from tests.browser import serving

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"


@pytest.fixture(scope="session")
def lab(tmp_path_factory, forked_kernels):
    """Address of a served copy of the notebooks; the learner's folder is `lab.home`."""
    root = tmp_path_factory.mktemp("lab")
    shutil.copytree(NOTEBOOKS, root / "notebooks", ignore=shutil.ignore_patterns(".ipynb_checkpoints"))
    with serving.served_lab(root, JUPYTER_PATH=forked_kernels) as served:
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


VIEW = {"width": 1280, "height": 800}


class Desk:
    """The page that Lab stands on, kept from test to test: Lab takes longer to start than most tests in it."""

    def __init__(self, chromium):
        self.chromium, self.page = chromium, None

    def clear(self):
        """The page as it is at the start: its size, the file browser open."""
        if self.page is None:
            self.page = new_page(self.chromium)
        elif self.page.url != "about:blank":
            self.page.set_viewport_size(VIEW)
            if not self.page.locator(".jp-FileBrowser").is_visible():
                self.page.keyboard.press("Control+b")
        return self.page

    def leave(self):
        if self.page is not None:
            self.page.context.close()
        self.page = None


def new_page(chromium):
    context = chromium.new_context(viewport=VIEW)
    context.set_default_timeout(serving.PATIENCE)
    return context.new_page()


@pytest.fixture(scope="session")
def desk(chromium):
    desk = Desk(chromium)
    yield desk
    desk.leave()


@pytest.fixture
def page(chromium, desk, shots, request):
    """A page of its own, or, in Lab, the one that Lab stands on; a new one after a test that failed."""
    in_lab = "lab" in request.fixturenames
    opened = desk.clear() if in_lab else new_page(chromium)
    yield opened
    failed = getattr(request.node, "failed", False)
    if failed:
        opened.screenshot(path=shots / f"failed-{request.node.name}.png")
    if not in_lab:
        opened.context.close()
    elif failed:
        desk.leave()


@pytest.fixture(scope="session")
def shots(tmp_path_factory):
    """Where screenshots go, to be looked at."""
    kept = os.environ.get("COURSEKIT_SHOTS")
    folder = Path(kept) if kept else tmp_path_factory.mktemp("shots")
    folder.mkdir(parents=True, exist_ok=True)
    return folder


@pytest.fixture
def look(shots):
    """Takes a screenshot where somebody is to look at it: `COURSEKIT_SHOTS` names the folder."""
    if os.environ.get("COURSEKIT_SHOTS"):
        return lambda page, name: page.screenshot(path=shots / name)
    return lambda page, name: None
