"""A room of learners on a running class server: how long they wait, what they take, whether one sees another's files.

`sudo python -m tests.benchmarks.class_room ADDRESS PASSWORDS [DRAGGING]`: PASSWORDS is what `binder/accounts` prints,
a name and a password a line. All sign in at once, each through a browser's requests: the form, their own server, a
kernel, a bench. Then DRAGGING of them (10) move a slider at once, each its next move when the picture of the last has
come, at most twenty a second. Server, kernels and this script share the processors; painting is not in the times. At
last a learner's server is killed, and the hub. It ends with an error where anything is lost or another's is seen.
"""

import json
import os
import pwd
import re
import signal
import socket
import subprocess
import sys
import threading
import time
import uuid
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
import requests
import websocket

BENCH, DRAGGING, MOVES, PAUSE = "door-film", 10, 60, 0.05
PATIENCE = 600  # s
AT_ONCE = ((socket.IPPROTO_TCP, socket.TCP_NODELAY, 1),)  # as a browser sends
KEPT = "t = lesson.exercise('film-1')\nprint(t.tries, t.said, lesson.seed())"
SHOW = f'from coursekit import lesson\ndisplay(lesson.bench("{BENCH}"))'


class Learner:
    """One learner's browser."""

    def __init__(self, address: str, name: str, password: str):
        self.address, self.name, self.password = address, name, password
        self.web = requests.Session()
        self.opened: dict[str, dict[str, Any]] = {}
        self.printed = ""

    def token(self, path: str) -> str:
        """The cookie against forged requests that holds for a path."""
        found = [cookie for cookie in self.web.cookies if cookie.name == "_xsrf" and path.startswith(cookie.path)]
        return max(found, key=lambda cookie: len(cookie.path)).value or ""

    def sign_in(self) -> float:
        """Seconds from the form to a page of Lab."""
        began = time.monotonic()
        while not self.is_up() and time.monotonic() - began < PATIENCE:
            time.sleep(0.5)
        form = {"username": self.name, "password": self.password, "_xsrf": self.token("/hub/")}
        answer = self.web.post(f"{self.address}/hub/login", data=form, timeout=PATIENCE)
        if "/hub/login" in answer.url:
            raise RuntimeError(f"{self.name} is not let in")
        while time.monotonic() - began < PATIENCE:
            page = self.web.get(f"{self.address}/user/{self.name}/lab", timeout=PATIENCE)
            if page.ok and f"/user/{self.name}/lab" in page.url:
                return time.monotonic() - began
            if page.status_code in (424, 429):  # the page with the button that starts one's server
                self.web.get(f"{self.address}/hub/spawn/{self.name}", timeout=PATIENCE)
            time.sleep(1)
        raise TimeoutError(f"{self.name} has no server after {PATIENCE} s")

    def is_up(self) -> bool:
        """Whether the hub shows its form."""
        try:
            return self.web.get(f"{self.address}/hub/login", timeout=PATIENCE).ok
        except requests.ConnectionError:
            return False

    def open_bench(self) -> float:
        """Seconds from asking for a kernel to the bench."""
        began, path = time.monotonic(), f"/user/{self.name}/api/kernels"
        headers = {"X-XSRFToken": self.token(path)}
        answer = self.web.post(self.address + path, json={}, headers=headers, timeout=PATIENCE)
        self.connect(answer.json()["id"])
        self.until_idle("execute_request", {"code": SHOW, "silent": False, "store_history": False})
        return time.monotonic() - began

    def connect(self, kernel: str) -> None:
        """The line to a kernel, as a page has it."""
        self.kernel, path = kernel, f"/user/{self.name}/api/kernels/{kernel}/channels"
        cookies = "; ".join(f"{one.name}={one.value}" for one in self.web.cookies if path.startswith(one.path))
        address = self.address.replace("http", "ws", 1) + path
        self.wire = websocket.create_connection(
            address, cookie=cookies, timeout=PATIENCE, origin=self.address, sockopt=AT_ONCE
        )

    def until_idle(self, kind: str, content: dict[str, Any]) -> tuple[float, int]:
        """Send a message; seconds until the last change that it brought, and how many characters those had."""
        mine, began, last, size = uuid.uuid4().hex, time.monotonic(), 0.0, 0
        header = {"msg_id": mine, "msg_type": kind, "username": self.name, "session": self.name, "version": "5.3"}
        message = {"header": header, "parent_header": {}, "metadata": {}, "content": content, "channel": "shell"}
        self.wire.send(json.dumps(message))
        while True:
            raw = self.wire.recv()
            if isinstance(raw, bytes):  # a message with buffers: its JSON lies behind the first offsets
                count = int.from_bytes(raw[:4], "big")
                first, second = (
                    (int.from_bytes(raw[4 * i : 4 * i + 4], "big") for i in (1, 2))
                    if count > 1
                    else (int.from_bytes(raw[4:8], "big"), len(raw))
                )
                raw = raw[first:second].decode()
            told = json.loads(raw)
            if told.get("parent_header", {}).get("msg_id") != mine:
                continue
            what = told["header"]["msg_type"]
            if what == "comm_open":
                self.opened[told["content"]["comm_id"]] = told["content"]["data"]["state"]
            elif what == "comm_msg" and told["content"]["data"].get("method") == "update":
                last, size = time.monotonic() - began, size + len(raw)
            elif what == "stream":
                self.printed += told["content"]["text"]
            elif what == "error":
                raise RuntimeError("\n".join(told["content"]["traceback"]))
            elif what == "status" and told["content"]["execution_state"] == "idle":
                return last, size

    def drag(self, start: threading.Barrier) -> list[tuple[float, int]]:
        """To and fro over a slider of the bench."""
        name, slider = next(
            (name, state) for name, state in self.opened.items() if state.get("_model_name") == "FloatSliderModel"
        )
        least, most, step = slider["min"], slider["max"], slider["step"]
        places = least + step * np.round(np.abs(np.sin(np.linspace(0.1, 6, MOVES))) * (most - least) / step)
        places = places[np.flatnonzero(np.diff(places, prepend=slider["value"]))]  # each a move
        found = []
        start.wait()
        for place in places:
            began = time.monotonic()
            data = {"method": "update", "state": {"value": float(place)}, "buffer_paths": []}
            found.append(self.until_idle("comm_msg", {"comm_id": name, "data": data}))
            time.sleep(max(0.0, PAUSE - (time.monotonic() - began)))
        return found

    def peeps(self, other: str) -> list[str]:
        """Ways in to another's files that were open; each is tried."""
        token = {"X-XSRFToken": self.token(f"/user/{self.name}/api")}
        ways = [f"/user/{other}/api/contents/lessons", f"/user/{other}/files/lessons/00-start-here.ipynb"]
        ways += [f"/hub/api/users/{other}", f"/hub/api/users/{other}/server"]
        ways += [f"/user/{self.name}/api/contents/..%2F{other}", f"/user/{self.name}/files/..%2F..%2Fetc%2Fshadow"]
        found = []
        for way in ways:
            answer = self.web.get(self.address + way, headers=token, timeout=PATIENCE)
            served = answer.url.startswith(self.address + way.split("%")[0])
            if answer.ok and served and "hub/oauth" not in answer.url and "hub/login" not in answer.url:
                found.append(way)
        code = f"""
import glob, os
for place in ("/home/{other}", "/home/{other}/lessons", "/srv/class/handed-in", "/srv/coursekit-hub", "/etc/shadow"):
    try:
        open(place).close() if os.path.isfile(place) else os.listdir(place)
        raise SystemError("can read " + place)
    except (PermissionError, FileNotFoundError):
        pass
"""
        try:
            self.until_idle("execute_request", {"code": code, "silent": False, "store_history": False})
        except RuntimeError as error:
            found.append(re.sub(r"\x1b\[[0-9;]*m", "", str(error)).splitlines()[-1])
        return found

    def run(self, code: str) -> str:
        """What a piece of code prints."""
        self.printed = ""
        self.until_idle("execute_request", {"code": code, "silent": False, "store_history": False})
        return self.printed


def processes(name: str) -> list[int]:
    """A learner's processes."""
    person = pwd.getpwnam(name).pw_uid
    return [int(each.name) for each in Path("/proc").glob("[0-9]*") if each.stat().st_uid == person]


def hub() -> tuple[int, list[str], dict[str, str], str]:
    """The hub's process, how it was called, its environment and folder."""
    for each in Path("/proc").glob("[0-9]*"):
        words = (each / "cmdline").read_text().split("\0")[:-1]
        if any(word.endswith("bin/jupyterhub") for word in words[:2]):
            place = dict(pair.split("=", 1) for pair in (each / "environ").read_text().split("\0") if "=" in pair)
            return int(each.name), words, place, str((each / "cwd").readlink())
    raise SystemExit("no hub is running on this machine")


def killed(one: Learner, other: Learner) -> None:
    """A learner's server is killed, then the hub: what was acknowledged is there, the other learner goes on."""
    for who in (one, other):
        who.run(f'lesson.join_class("room", "{who.name}")\nt = lesson.exercise("film-1")\nt.answer("1 m")')
    before = one.run(KEPT)
    for process in processes(one.name):
        os.kill(process, signal.SIGKILL)
    began = time.monotonic()
    one.sign_in()
    one.open_bench()
    print(f"a killed server: bench there again after {time.monotonic() - began:.1f} s")
    holds("what was answered is kept over a killed server", "It is kept" in before and one.run(KEPT) == before)
    process, words, place, folder = hub()
    other.run("alive = 1")
    os.kill(process, signal.SIGKILL)
    time.sleep(2)
    holds("a kernel goes on when the hub is killed", other.run("print(alive)").strip() == "1")
    with Path("/dev/null").open("w") as nowhere:
        subprocess.Popen(words, env=place, cwd=folder, start_new_session=True, stdout=nowhere, stderr=nowhere)
    began = time.monotonic()
    other.sign_in()
    other.connect(other.kernel)
    one.connect(one.kernel)
    print(f"hub started again: signed in after {time.monotonic() - began:.1f} s")
    holds("server and kernel are found again by the next hub", other.run("print(alive)").strip() == "1")
    holds("what was answered is kept over a killed hub", one.run(KEPT) == before)


def holds(what: str, true: bool) -> None:
    """Say it, or stop."""
    if not true:
        raise SystemExit(f"not so: {what}")
    print(what)


def memory(name: str) -> float:
    """Mebibytes of all processes of a learner; what they share is divided among those who share it."""
    person, found = pwd.getpwnam(name).pw_uid, 0
    for process in Path("/proc").glob("[0-9]*"):
        try:
            if process.stat().st_uid == person:
                lines = (process / "smaps_rollup").read_text().splitlines()
                found += sum(int(line.split()[1]) for line in lines if line.startswith("Pss:"))
        except (FileNotFoundError, ProcessLookupError, PermissionError):
            continue
    return found / 1024


def spread(found: list[float], unit: str) -> str:
    middle, late, worst = np.quantile(found, (0.5, 0.95, 1))
    return f"median {middle:.3g}, p95 {late:.3g}, most {worst:.3g} {unit}"


def main(address: str, passwords: str, dragging: str = str(DRAGGING)) -> None:
    lines = [line.split("\t") for line in Path(passwords).read_text(encoding="utf-8").splitlines()]
    room = [Learner(address.rstrip("/"), *line) for line in lines if len(line) == 2]
    began = time.monotonic()
    with ThreadPoolExecutor(len(room)) as pool:
        signed = list(pool.map(Learner.sign_in, room))
        print(f"{len(room)} sign in at once: page of Lab after {spread(signed, 's')}", flush=True)
        opened = list(pool.map(Learner.open_bench, room))
        print(f"{len(room)} kernels with a bench at once: {spread(opened, 's')}", flush=True)
        print(f"all ready after {time.monotonic() - began:.0f} s", flush=True)
        alone = Learner.drag(room[0], threading.Barrier(1))
        print(f"one drags: move to picture {spread([1000 * one for one, _ in alone], 'ms')}", flush=True)
        start = threading.Barrier(int(dragging))
        dragged = [one for each in pool.map(lambda who: who.drag(start), room[: int(dragging)]) for one in each]
    print(f"{dragging} drag at once: move to picture {spread([1000 * one for one, _ in dragged], 'ms')}")
    holds("each move brings a picture", all(size for _, size in dragged))
    print(f"characters a picture: {spread([float(size) for _, size in dragged], '')}")
    print(f"memory a learner: {spread([memory(one.name) for one in room], 'MiB')}")
    ways = sorted({way for one in room[:3] for way in one.peeps(room[3].name)})
    holds(f"another's files cannot be read {ways or ''}", not ways)
    killed(*room[:2])


if __name__ == "__main__":
    main(*sys.argv[1:])
