"""For every test: hypothesis sets no deadline, and widgets go when it ends."""

import asyncio
import contextlib
import gc
import math
import os
import sys
import tempfile

import pytest
from hypothesis import settings

from tests.forked_kernels import forking

# The workers that start after this, and what they start, compute in one thread each: there is a worker for each core.
# Memory for arrays stays with a process (glibc) instead of being asked for and given back page by page.
for name, value in {
    "OPENBLAS_NUM_THREADS": 1,
    "MALLOC_MMAP_THRESHOLD_": 2**30,
    "MALLOC_TRIM_THRESHOLD_": 2**30,
}.items():
    os.environ.setdefault(name, str(value))
# Behind nbformat, jsonschema makes forty parsers of this where it is there: 4 s a worker, and nobody asks them.
sys.modules.setdefault("rfc3987_syntax", None)

settings.register_profile("plain", deadline=None)
settings.load_profile("plain")


def pytest_configure(config):
    """A home of their own for tests that give none: what whoever runs them has chosen and measured is not asked."""
    home = tempfile.TemporaryDirectory(prefix="coursekit-tests-")
    os.environ["COURSEKIT_HOME"] = home.name
    config.add_cleanup(home.cleanup)


def pytest_xdist_auto_num_workers():
    """One worker more than cores: the tests in a browser, and those of processes that are killed, mostly wait."""
    return len(os.sched_getaffinity(0)) + 1 if hasattr(os, "sched_getaffinity") else None


def pytest_collection():
    gc.disable()


def pytest_collection_finish():
    """Thousands of collected tests stay to the end: memory is cleared up without walking through them each time."""
    gc.freeze()
    gc.enable()


@pytest.fixture(scope="session")
def roughly_played():
    """What was sanded roughly stays apart from what other tests play."""
    from coursekit.repair import playing

    return playing._Memory()


@pytest.fixture
def rough(monkeypatch, roughly_played):
    """Sanding as rough as the roughest preview, with a memory of its own: where nothing is asked of the panel.

    All the same it is played to the end, judged and checked, as a preview is not.
    """
    from coursekit.panel import sanding
    from coursekit.repair import playing

    monkeypatch.setattr(playing, "memory", roughly_played)
    for name in ("STRAYS", "STRAYS_AT_A_LINE", "SHARE"):
        monkeypatch.setattr(sanding, name, getattr(sanding, name) / sanding.COARSEST)
    for name in ("TOGETHER", "FEWEST", "FEWEST_AT_A_LINE"):
        monkeypatch.setattr(sanding, name, math.ceil(getattr(sanding, name) * sanding.COARSEST))


@pytest.fixture(scope="session")
def forked_kernels():
    """For `JUPYTER_PATH`: a kernel for each notebook, without waiting for the same imports each time."""
    with forking() if hasattr(os, "fork") else contextlib.nullcontext("") as folder:
        yield folder


@pytest.fixture(autouse=True)
def page_is_left_empty():
    """Widgets live until they are closed, and each one on the page is written anew when units are chosen.

    A view and its box hold each other, so it follows the choice until memory is cleared up; without this, every
    choice in a later test would compute the benches of all tests before it.
    """
    yield
    if following := sys.modules.get("coursekit.lesson.learner.unit_system"):
        for view in list(following._VIEWS):
            following.leave(view)
    if "ipywidgets" in sys.modules:
        sys.modules["ipywidgets"].widgets.widget._instances.clear()  # those that nobody holds are gone then


@pytest.fixture(autouse=True)
def no_loop_of_the_browser(request):
    """The browser tests leave a loop set as running in their worker: a slider of a later test would wait for it."""
    loop = asyncio._get_running_loop()
    if loop is None or request.node.get_closest_marker("browser") or "browser" in request.node.path.parts:
        yield
        return
    asyncio._set_running_loop(None)
    yield
    asyncio._set_running_loop(loop)
