"""The notebooks of the course, copied into a folder of the learner's and opened there."""

from __future__ import annotations

import hashlib
import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from coursekit import keeping
from coursekit.course.notebooks import notebooks
from coursekit.course.shipped import shipped
from coursekit.quantities import InputError

COPIED = ".coursekit-lessons.json"  # what was copied, so that a newer lesson replaces one that nobody changed


def copy(folder: Path) -> Iterator[str]:
    """Copy every notebook and picture; one that was changed there stays. Tells in lines what became of them."""
    lessons = shipped("notebooks")
    if not lessons:
        raise InputError("lessons", "were not installed with this course.", "Reinstall it.", kind="file")
    keeping.make_folder(folder)
    copied = _copied(folder)
    told: dict[str, list[str]] = {"new": [], "renewed": [], "as they were": [], "kept as you changed them": []}
    for name, source in lessons.items():
        try:
            data = source.read_bytes()
        except OSError as error:
            raise InputError(str(source), f"cannot be read ({error.strerror}).", kind="file") from None
        place = folder / name
        there = _digest(place)
        if there == _sum(data):
            told["as they were"].append(name)
        elif there is None or there == copied.get(name):
            keeping.make_folder(place.parent)
            keeping.replace(place, data)
            told["new" if there is None else "renewed"].append(name)
        else:
            told["kept as you changed them"].append(name)
            continue
        copied[name] = _sum(data)
    keeping.change(folder / COPIED, lambda _: json.dumps(copied, indent=1) + "\n", json.loads)
    yield f"Lessons in {folder.resolve()}:"
    for what, names in told.items():
        lessons_named = [Path(name).stem for name in names if name.endswith(".ipynb")]
        if lessons_named:
            which = "" if what in ("new", "as they were") else f": {', '.join(lessons_named)}"
            yield f"  {len(lessons_named)} {what}{which}"
    if told["kept as you changed them"]:
        yield "  To get the original again, rename your copy and copy once more."


def open_lab(folder: Path, more: Sequence[str] = ()) -> None:
    """JupyterLab on the first lesson, on this machine alone and with a token, until it is stopped."""
    first = f"{notebooks()[0]['file']}.ipynb"
    here = ("--ServerApp.ip=127.0.0.1", f"--ServerApp.root_dir={folder.resolve()}")
    command = [sys.executable, "-m", "jupyterlab", *here, f"--LabApp.default_url=/lab/tree/{first}", *more]
    with subprocess.Popen(command, env={**os.environ, "PYTHONUTF8": "1"}) as lab:
        while lab.poll() is None:
            try:
                lab.wait()
            except KeyboardInterrupt:  # Lab got it too, and asks whether to stop
                continue
    if lab.returncode not in (0, -signal.SIGINT, -signal.SIGTERM):
        raise InputError("JupyterLab", f"ended with code {lab.returncode}.", "Its message is above.", kind="file")


def _copied(folder: Path) -> dict[str, Any]:
    try:
        found = json.loads(keeping.read_text(folder / COPIED))
    except (FileNotFoundError, ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def _digest(path: Path) -> str | None:
    """The checksum of what is there; None when nothing is."""
    if not os.path.lexists(path):
        return None
    try:
        return _sum(path.read_bytes()) if path.is_file() else ""
    except OSError:
        return ""


def _sum(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
