"""A real JupyterLab on a free loopback port with its token on, and a headless Chromium: for tests and benchmarks."""

import contextlib
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

TOKEN = "loopback-only"
SETTINGS = Path(__file__).parents[2] / "coursekit" / "course" / "lab" / "coursekit.json"
CHROMIUM = os.environ.get("COURSEKIT_CHROMIUM", shutil.which("chromium") or "/usr/bin/chromium")
FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PATIENCE = 30_000  # ms; a state of the page that has not come by then will not come


class Served:
    """A running Lab; the learner's folder is `home`."""

    def __init__(self, address, home, root):
        self.address, self.home, self.root = address, home, root

    def url(self, notebook):
        return f"{self.address}/lab/tree/{notebook}?reset&token={TOKEN}"


@contextlib.contextmanager
def served_lab(root, **more):
    """Lab on the notebooks of `root / "notebooks"`, with all of its own files under `root`, and more for Jupyter."""
    for plugin, settings in json.loads(SETTINGS.read_text()).items():  # as an installed course sets them
        extension, name = plugin.split(":")
        folder = root / "settings" / extension
        folder.mkdir(parents=True, exist_ok=True)
        (folder / f"{name}.jupyterlab-settings").write_text(json.dumps(settings))
    (root / "home").mkdir()
    port = free_port()
    places = {
        "JUPYTERLAB_SETTINGS_DIR": root / "settings",
        "JUPYTERLAB_WORKSPACES_DIR": root / "workspaces",
        "JUPYTER_RUNTIME_DIR": root / "runtime",
        "JUPYTER_CONFIG_DIR": root / "config",
        "COURSEKIT_HOME": root / "home",
        **more,
    }
    # As root, as on a build machine, Lab wants to be told so; a learner never runs it as root.
    command = [
        sys.executable,
        "-m",
        "jupyterlab",
        "--no-browser",
        "--allow-root",
        f"--ServerApp.port={port}",
        "--ServerApp.port_retries=0",
        "--ServerApp.ip=127.0.0.1",
        f"--IdentityProvider.token={TOKEN}",
        f"--ServerApp.root_dir={root / 'notebooks'}",
    ]
    with open(root / "lab.log", "w") as log:
        server = subprocess.Popen(
            command,
            env={**os.environ, **{k: str(v) for k, v in places.items()}},
            stdout=log,
            stderr=subprocess.STDOUT,
        )
    address = f"http://127.0.0.1:{port}"
    try:
        wait_for_server(address, server, root / "lab.log")
        yield Served(address, root / "home", root)
    finally:
        server.terminate()
        server.wait(20)


def free_port():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return taken.getsockname()[1]


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


def missing():
    """What is not there to open a browser with, and its remedy; empty when all is."""
    try:
        import playwright  # noqa: F401
    except ImportError:
        return "no playwright: pip install playwright"
    if Path(CHROMIUM).exists():
        return ""
    remedy = "install it (Debian: sudo apt install chromium) or name it in COURSEKIT_CHROMIUM"
    return f"no Chromium at {CHROMIUM}: {remedy}"


@contextlib.contextmanager
def headless_chromium():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()
