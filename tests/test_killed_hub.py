"""A class server whose hub is killed in the middle of a lesson: the learner's server and kernel go on, and are found.

The real hub with the settings of `binder/`, but for what a test may not have: accounts of the machine, node's proxy
(the learner's server is asked at its own port) and root's rights.
"""

import http.client
import json
import os
import signal
import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pytest
from jupyter_client import BlockingKernelClient

pytestmark = pytest.mark.skipif(os.name != "posix", reason="JupyterHub runs on Linux and macOS alone")

CONFIG = Path(__file__).parents[1] / "binder" / "jupyterhub_config.py"
TELL = "print(task.tries, lesson.seed())"
TOKEN, PATIENCE = "a-token-of-this-test", 90  # s
HERE = f"""
import os, sys
from pathlib import Path
from jupyterhub.proxy import Proxy

file = Path({str(CONFIG)!r})
exec(compile(file.read_text(), file, "exec"), dict(get_config=lambda: c, __file__=str(file)))

class NoProxy(Proxy):
    should_start, routes = False, {{}}
    async def add_route(self, routespec, target, data):
        self.routes[routespec] = dict(routespec=routespec, target=target, data=data)
    async def delete_route(self, routespec):
        self.routes.pop(routespec, None)
    async def get_all_routes(self):
        return self.routes
c.JupyterHub.proxy_class = NoProxy
c.JupyterHub.hub_bind_url = "http://127.0.0.1:" + os.environ["HUB_PORT"]
c.Spawner.port = int(os.environ["LEARNER_PORT"])
c.JupyterHub.authenticator_class = "dummy"
c.JupyterHub.spawner_class = "simple"
c.SimpleLocalProcessSpawner.home_dir_template = os.environ["HOME"]
c.Spawner.cmd = [sys.executable, "-m", "jupyterhub.singleuser"]
c.Spawner.args.append("--allow-root")
c.Spawner.environment["HOME"] = os.environ["HOME"]
c.Spawner.environment["JUPYTER_RUNTIME_DIR"] = os.environ["SOCKETS"]
scopes = ["admin:users", "admin:servers", "admin:server_state", "access:servers"]
c.JupyterHub.services = [dict(name="test", api_token={TOKEN!r})]
c.JupyterHub.load_roles = [dict(name="test", scopes=scopes, services=["test"])]
"""


def ask(port, method, path, wanted=(200, 201, 202, 204)):
    """What the hub or a server says; while it is not up it is waited for."""
    until = time.monotonic() + PATIENCE
    while True:
        line = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
        try:
            line.request(method, path, headers={"Authorization": f"token {TOKEN}"})
            answer = line.getresponse()
            said = answer.read().decode()
            break
        except OSError:
            assert time.monotonic() < until
            time.sleep(0.1)
        finally:
            line.close()
    assert answer.status in wanted, f"{method} {path}: {answer.status} {said}"
    return json.loads(said or "null")


def free_port():
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return found.getsockname()[1]


class Room:
    """A hub, a learner's server behind it, and what a learner types into a kernel there."""

    def __init__(self, home, sockets):
        self.sockets, self.home, self.hub_port, self.port = Path(sockets), home, free_port(), free_port()
        (home / "config.py").write_text(HERE, encoding="utf-8")
        self.place = {
            **{key: value for key, value in os.environ.items() if not key.startswith(("JUPYTER", "XDG"))},
            "HOME": str(home),
            "COURSEKIT_HOME": str(home / "course"),
            "COURSEKIT_HUB": str(home / "hub"),
            "SOCKETS": sockets,
            "HUB_PORT": str(self.hub_port),
            "LEARNER_PORT": str(self.port),
        }
        self.start()

    def start(self):
        command = [sys.executable, "-m", "jupyterhub", "-f", str(self.home / "config.py")]
        with open(self.home / "hub.log", "a") as log:
            self.hub = subprocess.Popen(command, env=self.place, cwd=self.home, stdout=log, stderr=log)
        try:
            ask(self.hub_port, "GET", "/hub/api/")
        except BaseException:
            self.hub.kill()
            raise

    def user(self):
        return ask(self.hub_port, "GET", "/hub/api/users/ana")

    def kernels(self):
        return ask(self.port, "GET", "/user/ana/api/kernels")

    def says(self, kernel, code):
        file = self.sockets / f"kernel-{kernel}.json"
        client = BlockingKernelClient(connection_file=str(file))
        client.load_connection_file()
        client.start_channels(hb=False)  # a kernel that is slow to start is not taken for dead: its answer is awaited
        try:
            client.wait_for_ready(timeout=PATIENCE)
            told = []
            client.execute_interactive(
                code, timeout=PATIENCE, output_hook=lambda message: told.append(message["content"])
            )
        finally:
            client.stop_channels()
        return "".join(one.get("text", "") for one in told)


@pytest.fixture
def room(tmp_path):
    with tempfile.TemporaryDirectory(prefix="ck", dir="/tmp") as sockets:  # short: a socket's name has 107 characters
        made = Room(tmp_path, sockets)
        yield made
        if made.hub.poll() is not None:
            made.start()
        servers = made.user()["servers"]
        made.hub.kill()
        made.hub.wait()
        for server in servers.values():  # killed, not asked: asked, it takes ten seconds; its kernel goes with it
            os.kill(server["state"]["pid"], signal.SIGKILL)


def test_a_killed_hub_loses_nothing_and_is_started_again(room):
    ask(room.hub_port, "POST", "/hub/api/users/ana")
    ask(room.hub_port, "POST", "/hub/api/users/ana/server")
    while not room.user()["servers"].get("", {}).get("ready"):
        time.sleep(0.1)
    kernel = ask(room.port, "POST", "/user/ana/api/kernels")["id"]
    tried = "from coursekit import lesson\ntask = lesson.exercise('film-1')\ntask.answer('1 m')\n" + TELL
    first = room.says(kernel, tried)
    assert first.startswith("1 ")
    room.hub.send_signal(signal.SIGKILL)
    room.hub.wait()
    assert room.says(kernel, "task.answer('2 m')\n" + TELL) == first.replace("1", "2", 1), (
        "the lesson goes on without the hub"
    )
    room.start()
    assert room.user()["servers"][""]["ready"] and [one["id"] for one in room.kernels()] == [kernel]
    assert room.says(kernel, "print(lesson.exercise('film-1').tries)") == "2\n"
