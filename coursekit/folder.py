"""The learner's own folder: progress, garage measurements and settings live there, never in the notebooks."""

from __future__ import annotations

import functools
import json
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from coursekit.errors import InputError
from coursekit.keeping import Damaged, change, make_folder, read_text

SETTINGS = "settings.json"
_READ: dict[Path, tuple[Any, dict[str, Any]]] = {}  # the file as it was last read, and its stamp
_UNKEPT: dict[tuple[str | None, str], Any] = {}  # what could not be written; it holds as long as this process runs


def folder() -> Path:
    """The learner's folder, made when it is missing; InputError when it cannot be."""
    path = place()
    make_folder(path)
    return path


def place() -> Path:
    """Where the learner's folder is, made or not: COURSEKIT_HOME, else the system's place for such data."""
    kept = os.environ.get("COURSEKIT_HOME")
    if kept and kept[0] != "~":
        return _place(kept)
    return _place(kept, *(os.environ.get(name) for name in _SAID_BY), sys.platform)


# What else names the folder; a slider asks for it twenty times a move, so each answer is kept.
_SAID_BY = ("XDG_DATA_HOME", "LOCALAPPDATA", "HOME", "USERPROFILE")


@functools.lru_cache(maxsize=8)
def _place(kept: str | None, *_: str | None) -> Path:
    try:
        return Path(kept).expanduser() if kept else _usual_place()
    except RuntimeError:  # "~nobody", or a machine that knows no home
        raise InputError(
            "COURSEKIT_HOME",
            f"{kept or 'your home'!r:.200} cannot be found.",
            "Set it to a folder that you may write.",
            kind="file",
        ) from None


def _usual_place() -> Path:
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Application Support"
    else:
        base = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    return base / "coursekit"


@functools.lru_cache(maxsize=8)
def _settings(place: Path) -> Path:
    return place / SETTINGS


def stamp(path: Path) -> Any:
    """Changes whenever a file is rewritten; None when there is none."""
    try:
        found = os.stat(path)
    except (OSError, ValueError):
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino


def setting(key: str, default: object = None) -> Any:
    """One of the learner's settings, as the file has it now; a missing or unreadable file means the default."""
    if _here(key) in _UNKEPT:
        return _UNKEPT[_here(key)]
    try:
        path = _settings(place())
        seen = stamp(path)
        if path not in _READ or _READ[path][0] != seen:
            _READ[path] = seen, _parsed(read_text(path))
    except (InputError, FileNotFoundError):
        return default
    return _READ[path][1].get(key, default)


def keep_setting(key: str, value: object) -> None:
    """Keep one setting for every later lesson. When it cannot be written it holds here, and InputError says so."""
    change_setting(key, lambda _: value)


def change_setting(key: str, make: Callable[[Any], Any]) -> Any:
    """Keep what `make` turns the setting into that stands in the file now (None when there is none); gives it."""
    made: list[Any] = []

    def changed(text: str | None) -> str:
        settings = _parsed(text)
        made[:] = [make(settings.get(key))]
        return json.dumps({**settings, key: made[0]}, indent=1) + "\n"

    try:
        change(place() / SETTINGS, changed, _parsed)
    except InputError:
        _UNKEPT[_here(key)] = made[0] if made else make(setting(key))
        raise
    _UNKEPT.pop(_here(key), None)
    return made[0]


def _here(key: str) -> tuple[str | None, str]:
    return os.environ.get("COURSEKIT_HOME"), key


def forget_unkept() -> None:
    """Let go of what could not be written: from now on only the file counts."""
    _UNKEPT.clear()


def check_settings() -> None:
    """Set a settings file aside that cannot be read; `keeping.stories` tells it."""
    path = place() / SETTINGS
    try:
        _parsed(read_text(path))
    except FileNotFoundError:
        pass
    except Damaged:
        change(path, lambda text: json.dumps(_parsed(text), indent=1) + "\n", _parsed)


def _parsed(text: str | None) -> dict[str, Any]:
    try:
        found = {} if text is None else json.loads(text)
    except (ValueError, RecursionError):
        found = None
    if not isinstance(found, dict):
        raise Damaged(
            SETTINGS, "cannot be read as settings.", "It is set aside when you save the next setting.", kind="file"
        )
    return found
