"""A real JupyterLab on a free loopback port with its token on, and a headless Chromium that looks at it."""

import json
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"
TOKEN = "loopback-only"
CHROMIUM = os.environ.get("COURSEKIT_CHROMIUM", shutil.which("chromium") or "/usr/bin/chromium")
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
         "--disable-background-networking", "--disable-component-update", "--disable-sync"]  # fmt: skip
PATIENCE = 60_000  # ms; a state of the page that has not come by then will not come


def free_port():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return taken.getsockname()[1]


@pytest.fixture(scope="session")
def lab(tmp_path_factory):
    """Address of a served copy of the notebooks; the learner's folder is `lab.home`."""
    root = tmp_path_factory.mktemp("lab")
    shutil.copytree(NOTEBOOKS, root / "notebooks", ignore=shutil.ignore_patterns(".ipynb_checkpoints"))
    settings = root / "settings" / "@jupyterlab" / "apputils-extension"
    settings.mkdir(parents=True)
    silent = {"fetchNews": "false", "checkForUpdates": False}
    (settings / "notification.jupyterlab-settings").write_text(json.dumps(silent))
    (root / "home").mkdir()
    port = free_port()
    places = {"JUPYTERLAB_SETTINGS_DIR": root / "settings", "JUPYTERLAB_WORKSPACES_DIR": root / "workspaces",
              "JUPYTER_RUNTIME_DIR": root / "runtime", "JUPYTER_CONFIG_DIR": root / "config",
              "COURSEKIT_HOME": root / "home"}  # fmt: skip
    # As root, as on a build machine, Lab wants to be told so; a learner never runs it as root.
    command = [sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", f"--ServerApp.port={port}",
               "--ServerApp.port_retries=0", "--ServerApp.ip=127.0.0.1", f"--IdentityProvider.token={TOKEN}",
               f"--ServerApp.root_dir={root / 'notebooks'}"]  # fmt: skip
    with open(root / "lab.log", "w") as log:
        server = subprocess.Popen(command, env={**os.environ, **{k: str(v) for k, v in places.items()}},
                                  stdout=log, stderr=subprocess.STDOUT)  # fmt: skip
    address = f"http://127.0.0.1:{port}"
    try:
        wait_for_server(address, server, root / "lab.log")
        yield Served(address, root / "home", root)
    finally:
        server.terminate()
        server.wait(20)


class Served:
    def __init__(self, address, home, root):
        self.address, self.home, self.root = address, home, root

    def url(self, notebook):
        return f"{self.address}/lab/tree/{notebook}?reset&token={TOKEN}"


def wait_for_server(address, server, log):
    until = time.monotonic() + 60
    while time.monotonic() < until:
        assert server.poll() is None, log.read_text()
        try:
            urllib.request.urlopen(f"{address}/api?token={TOKEN}", timeout=5).read()
            return
        except (urllib.error.URLError, OSError):
            time.sleep(0.1)  # between two looks at the server; the page itself is never slept on
    raise AssertionError(log.read_text())


@pytest.fixture(scope="session")
def chromium():
    from playwright.sync_api import expect, sync_playwright

    expect.set_options(timeout=PATIENCE / 4)
    if not Path(CHROMIUM).exists():
        remedy = "install it (Debian: sudo apt install chromium) or name it in COURSEKIT_CHROMIUM"
        (pytest.fail if os.environ.get("CI") else pytest.skip)(f"no Chromium at {CHROMIUM}: {remedy}")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    report = yield
    if call.when == "call":
        item.failed = report.failed
    return report


@pytest.fixture
def page(chromium, shots, request):
    context = chromium.new_context(viewport={"width": 1280, "height": 800})
    context.set_default_timeout(PATIENCE)
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
