"""The class server: closed by default, each learner in a home of their own, limits set by the system.

Settings, limits and scripts are tried one by one; nobody signs in here. `test_killed_hub` starts a hub.
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
    assert c.JupyterHub.bind_url == "http://127.0.0.1:8000"
    assert c.JupyterHub.hub_bind_url == "http://127.0.0.1:8081"
    assert c.JupyterHub.authenticator_class == "pam"
    # Whatever else would let somebody in is not there: no list of users, no administrators, no sign-up.
    assert dict(c.Authenticator) == {"allow_all": False}
    assert dict(c.LocalAuthenticator) == {"allowed_groups": {"learners", "instructors"}}
    assert dict(c.PAMAuthenticator) == {"open_sessions": False, "admin_groups": set()}
    (role,) = c.JupyterHub.load_roles
    assert role["scopes"] == ["list:users", "read:users:activity", "read:servers", "delete:servers"]
    assert c.JupyterHub.db_url == f"sqlite:///{tmp_path / 'hub' / 'jupyterhub.sqlite'}"
    assert c.JupyterHub.cookie_secret_file == str(tmp_path / "hub" / "cookie_secret")
    assert (tmp_path / "hub").stat().st_mode & 0o777 == 0o700
    monkeypatch.setenv("COURSEKIT_BIND", "http://0.0.0.0:8000")
    assert configured().JupyterHub.bind_url == "http://0.0.0.0:8000"


def test_idle_servers_go_and_a_killed_hub_leaves_the_others(configured):
    c = configured()
    assert c.JupyterHub.cleanup_servers is False
    (culler,) = c.JupyterHub.services
    assert culler["command"][1:] == ["-m", "jupyterhub_idle_culler", "--timeout=3600", "--cull-every=300"]
    assert c.JupyterHub.load_roles[0]["services"] == [culler["name"]] and "admin" not in culler
    assert c.Spawner.args == [
        "--MappingKernelManager.cull_idle_timeout=3600",
        "--MappingKernelManager.cull_connected=True",
        "--KernelManager.transport=ipc",
        "--MappingKernelManager.kernel_info_timeout=240",
    ]
    assert (c.JupyterHub.concurrent_spawn_limit, c.JupyterHub.active_server_limit) == (0, 60)


def test_the_limits_are_those_that_the_readme_tells(configured):
    c, told = configured(), (BINDER / "README.md").read_text(encoding="utf-8")
    assert "`COURSEKIT_MEMORY`, 1 GiB of data" in told and c.Spawner.mem_limit == 2**30
    assert "stay on one processor (`COURSEKIT_PROCESSORS`)" in told and c.Spawner.cpu_limit == 1
    assert "the idle culler, after an hour" in told
    assert "homes have mode 700" in told
    assert c.Spawner.cmd == [str(BINDER / "learner-server")] and os.access(c.Spawner.cmd[0], os.X_OK)
    assert c.Spawner.notebook_dir == "~"


# What `accounts` asks of the system, as it is asked; the home is made with the rights that useradd gives it.
SYSTEM = {
    "getent": '[ "$1" = group ] && exit 0; [ -d "$HOMES/$2" ] || exit 2; echo "$2:x:1:1::$HOMES/$2:/bin/bash"',
    "useradd": 'for name; do :; done; mkdir -m 755 "$HOMES/$name"',
    "chpasswd": "cat > /dev/null",
    "chgrp": "",
}


def test_each_account_has_a_home_of_its_own_and_handed_in_is_read_by_instructors_alone(tmp_path):
    bin_, homes, shared = (tmp_path / name for name in ("bin", "homes", "class"))
    bin_.mkdir(), homes.mkdir()
    for name, does in SYSTEM.items():
        (bin_ / name).write_text(f'#!/bin/sh\necho {name} "$@" >> "$HOMES.log"\n{does}\n')
        (bin_ / name).chmod(0o755)
    place = {"PATH": f"{bin_}:/usr/bin:/bin", "HOMES": str(homes), "COURSEKIT_SHARED": str(shared)}

    def accounts(names):
        command = ["sh", BINDER / "accounts", "learners"]
        return subprocess.run(command, env=place, input=names, capture_output=True, text=True, timeout=60)

    done = accounts("ana\n\nben-2\n../root\nAna\n-x\n")
    told = dict(line.split("\t") for line in done.stdout.splitlines())
    assert set(told) == {"ana", "ben-2"} and len(set(told.values())) == 2
    assert all(len(word) == 18 for word in told.values())  # nine bytes from the system, written in hexadecimal
    assert done.stderr.count("small letters, digits and hyphens only") == 3
    assert {one.name: one.stat().st_mode & 0o7777 for one in homes.iterdir()} == {"ana": 0o700, "ben-2": 0o700}
    assert (shared / "handed-in").stat().st_mode & 0o7777 == 0o3773
    log = (tmp_path / "homes.log").read_text()
    assert f"chgrp instructors {shared / 'handed-in'}" in log and "--gid learners ana" in log
    again = accounts("ana\n")
    assert again.stdout == "" and "is there already" in again.stderr


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
    python.write_text(
        f'#!/bin/sh\ncase "$2" in coursekit) exec {sys.executable} "$@";; *) echo "$@ $JUPYTER_RUNTIME_DIR";; esac\n'
    )
    python.chmod(0o755)
    place = {**os.environ, "HOME": str(tmp_path), "COURSEKIT_PYTHON": str(python)}

    def start():
        command = [BINDER / "learner-server", "--port=1"]
        return subprocess.run(command, env=place, capture_output=True, text=True, timeout=120, check=True).stdout

    served = f"-m jupyterhub.singleuser --port=1 {tmp_path}/.kernels"
    assert start().splitlines()[-1] == served
    mine = tmp_path / "lessons" / "01-film.ipynb"
    mine.write_text("mine")
    assert "kept as you changed them: 01-film" in start() and mine.read_text() == "mine"
    (tmp_path / "lessons" / "02-mix.ipynb").unlink()
    python.write_text('#!/bin/sh\ncase "$2" in coursekit) exit 1;; *) echo "$@ $JUPYTER_RUNTIME_DIR";; esac\n')
    command = [BINDER / "learner-server", "--port=1"]
    failed = subprocess.run(command, env=place, capture_output=True, text=True, timeout=60)
    assert "could not be copied" in failed.stderr and failed.stdout == served + "\n"
    place["COURSEKIT_PYTHON"] = "/nowhere/python"
    failed = subprocess.run(command, env=place, capture_output=True, text=True, timeout=60)
    assert failed.returncode == 1 and "may not run /nowhere/python" in failed.stderr and not failed.stdout


def test_accounts_refuses_names_that_are_none():
    done = subprocess.run(["sh", BINDER / "accounts", "wheel", "ana"], capture_output=True, text=True, timeout=60)
    assert done.returncode == 2 and "learners or instructors" in done.stderr
