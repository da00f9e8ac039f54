"""The class server: closed by default, each learner in a home of their own, limits set by the system.

Settings, limits and scripts are tried one by one; nobody signs in here, and no hub is started.
"""

import os
import resource
import subprocess
import sys
import types
from pathlib import Path

import pytest
from traitlets.config import Config

BINDER = Path(__file__).parents[1] / "binder"


@pytest.fixture
def configured(tmp_path, monkeypatch):
    """What the configuration says, without JupyterHub."""

    class Spawner:
        def make_preexec_fn(self, name):
            return lambda: None

    spawner = types.ModuleType("jupyterhub.spawner")
    spawner.LocalProcessSpawner = Spawner
    monkeypatch.setitem(sys.modules, "jupyterhub", types.ModuleType("jupyterhub"))
    monkeypatch.setitem(sys.modules, "jupyterhub.spawner", spawner)
    monkeypatch.setenv("COURSEKIT_HUB", str(tmp_path / "hub"))

    def configure():
        c, file = Config(), BINDER / "jupyterhub_config.py"
        exec(
            compile(file.read_text(encoding="utf-8"), file, "exec"), {"get_config": lambda: c, "__file__": str(file)}
        )
        return c

    return configure


def test_it_is_closed_unless_told_otherwise(configured, tmp_path, monkeypatch):
    c = configured()
    assert c.JupyterHub.bind_url == "http://127.0.0.1:8000" and "127.0.0.1" in c.JupyterHub.hub_bind_url
    assert c.Authenticator.allow_all is False and c.LocalAuthenticator.allowed_groups == {"learners", "instructors"}
    assert c.JupyterHub.authenticator_class == "pam" and c.PAMAuthenticator.admin_groups == set()
    assert not any("admin" in scope for role in c.JupyterHub.load_roles for scope in role["scopes"])
    assert (tmp_path / "hub").stat().st_mode & 0o777 == 0o700
    monkeypatch.setenv("COURSEKIT_BIND", "http://0.0.0.0:8000")
    assert configured().JupyterHub.bind_url == "http://0.0.0.0:8000"


def test_idle_servers_go_and_a_killed_hub_leaves_the_others(configured):
    c = configured()
    assert c.JupyterHub.cleanup_servers is False
    assert "jupyterhub_idle_culler" in c.JupyterHub.services[0]["command"]
    assert c.JupyterHub.load_roles[0]["services"] == [c.JupyterHub.services[0]["name"]]
    assert c.JupyterHub.concurrent_spawn_limit and c.JupyterHub.active_server_limit >= 40
    assert os.access(c.Spawner.cmd[0], os.X_OK)


@pytest.mark.skipif(not hasattr(os, "sched_setaffinity"), reason="limits of another system")
def test_the_system_holds_a_learner_to_the_limits(configured, monkeypatch):
    """A process that asks for more memory than its share is refused by the kernel, not by good will."""
    monkeypatch.setenv("COURSEKIT_MEMORY", str(300 * 2**20))
    prepare = configured().JupyterHub.spawner_class().make_preexec_fn("ana")
    asks = "import os; print(len(os.sched_getaffinity(0)), oct(os.umask(0))); x = b'1' * {}; print(len(x))"

    def run(size):
        command = [sys.executable, "-c", asks.format(size)]
        return subprocess.run(command, preexec_fn=prepare, capture_output=True, text=True, timeout=60)

    little, much = run(50 * 2**20), run(600 * 2**20)
    assert little.stdout.split() == ["1", "0o27", str(50 * 2**20)]
    assert much.returncode != 0 and "MemoryError" in much.stderr
    assert resource.getrlimit(resource.RLIMIT_DATA)[0] != 300 * 2**20, "only the learner's process"


def test_lessons_are_copied_as_the_learner_and_a_changed_one_stays(tmp_path):
    """Run as it is, with a server that only says that it was started."""
    python = tmp_path / "python"
    python.write_text(f'#!/bin/sh\ncase "$2" in coursekit) exec {sys.executable} "$@";; *) echo "$@";; esac\n')
    python.chmod(0o755)
    place = {**os.environ, "HOME": str(tmp_path), "COURSEKIT_PYTHON": str(python)}

    def start():
        command = [BINDER / "learner-server", "--port=1"]
        return subprocess.run(command, env=place, capture_output=True, text=True, timeout=120, check=True).stdout

    assert start().splitlines()[-1] == "-m jupyterhub.singleuser --port=1"
    mine = tmp_path / "lessons" / "01-film.ipynb"
    mine.write_text("mine")
    assert "kept as you changed them: 01-film" in start() and mine.read_text() == "mine"
    (tmp_path / "lessons" / "02-mix.ipynb").unlink()
    place["COURSEKIT_PYTHON"] = "/nowhere/python"
    failed = subprocess.run([BINDER / "learner-server"], env=place, capture_output=True, text=True, timeout=60)
    assert "could not be copied" in failed.stderr


def test_accounts_refuses_names_that_are_none():
    done = subprocess.run(["sh", BINDER / "accounts", "wheel", "ana"], capture_output=True, text=True, timeout=60)
    assert done.returncode == 2 and "learners or instructors" in done.stderr
