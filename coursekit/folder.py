"""The learner's own folder: progress, garage measurements and settings live there, never in the notebooks."""

from __future__ import annotations

import contextlib
import json
import os
import sys
import tempfile
from pathlib import Path
from typing import Any


def folder() -> Path:
    """The learner's folder, made when it is missing."""
    path = place()
    path.mkdir(parents=True, exist_ok=True)
    return path


def place() -> Path:
    """Where the learner's folder is, made or not: COURSEKIT_HOME, else the system's place for such data."""
    kept = os.environ.get("COURSEKIT_HOME")
    return Path(kept).expanduser() if kept else _usual_place()


def _usual_place() -> Path:
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Application Support"
    else:
        base = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    return base / "coursekit"


def write_atomically(path: Path, text: str) -> None:
    """The whole new text or the whole old one, whatever happens: written beside it, flushed, then renamed."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}-", suffix=".new")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.replace(name, path)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise


def setting(key: str, default: Any = None) -> Any:
    """One of the learner's settings; a missing or unreadable file means the default."""
    return _settings().get(key, default)


def keep_setting(key: str, value: Any) -> None:
    """Keep one setting for every later lesson."""
    write_atomically(folder() / "settings.json", json.dumps({**_settings(), key: value}, indent=1) + "\n")


def _settings() -> dict[str, Any]:
    try:
        found = json.loads((folder() / "settings.json").read_text(encoding="utf-8-sig"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}
