"""Files that a person must not lose: changed under a lock, written whole, read back before the course says "kept".

Every one of them is written by `change`. Whoever writes in a folder holds its lock – another kernel, a command, a
thread – and reads what is there inside it, so that nobody's entry is written over.
"""

from __future__ import annotations

import codecs
import contextlib
import datetime
import os
import random
import sqlite3
import stat
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from coursekit.errors import InputError

LARGEST = 4_000_000  # bytes
LOCK = ".lock"
BESIDE, NEW = ".coursekit-", ".new"  # what is being written
PATIENCE = 20.0  # s to wait for whoever is writing in the folder
TURN = 0.01  # s left to others between two writes, so that one that writes without end starves none
_STORIES: list[str] = []


class Damaged(InputError):
    """The contents of a file cannot be read."""


def stories() -> list[str]:
    """What was set aside since the last call, one sentence each."""
    told = _STORIES[:]
    _STORIES.clear()
    return told


def now() -> datetime.datetime:
    """This second in the local time zone, whose offset is rounded to the minute: no date in TOML can hold seconds."""
    utc = datetime.datetime.now(datetime.UTC).replace(microsecond=0)
    try:
        offset = utc.astimezone().utcoffset() or datetime.timedelta()
        minutes = round(offset.total_seconds() / 60)
        return utc.astimezone(datetime.timezone(datetime.timedelta(minutes=minutes)))
    except (ValueError, OverflowError, OSError):  # a zone that cannot be, such as a whole day off
        return utc


# --- reading -----------------------------------------------------------------------------------------------


def read_text(path: object) -> str:
    """The text of an ordinary file.

    FileNotFoundError when there is none, InputError when it cannot be read, Damaged when it is no text. A pipe, a
    device or a folder is refused before it is opened: reading one might never end.
    """
    return _decoded(path, _bytes(path))


def _bytes(path: Any) -> bytes:
    name = str(path)[:200]
    try:
        file = Path(path)
        ordinary = stat.S_ISREG(file.stat().st_mode)
        data = b""
        if ordinary:
            with file.open("rb") as opened:
                data = opened.read(LARGEST + 1)
    except (FileNotFoundError, NotADirectoryError):
        raise FileNotFoundError(name) from None
    except (OSError, TypeError, ValueError, RuntimeError) as error:
        why = getattr(error, "strerror", None) or type(error).__name__
        raise InputError(
            name, f"cannot be read ({why}).", "Give the path of a file that you may read.", kind="file"
        ) from None
    if not ordinary:
        raise InputError(
            name, "cannot be read: it is not an ordinary file.", "Give the path of a file of text.", kind="file"
        )
    if len(data) > LARGEST:
        raise InputError(
            name, f"holds more than {LARGEST} bytes.", "A file for this course is far shorter.", kind="too long"
        )
    return data


def _decoded(path: object, data: bytes) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise Damaged(
            str(path)[:200],
            f"cannot be read as text (byte {error.start + 1}).",
            "Save it as text in UTF-8, or move it away.",
            kind="file",
        ) from None


# --- writing -----------------------------------------------------------------------------------------------


def change(path: Path, make: Callable[[str | None], str], check: Callable[[str], object]) -> None:
    """Have `make` turn the text that is there (None when there is none) into the new one, which `check` reads back.

    What `make` or `check` raise is raised, and the file stays as it is. When what is there is Damaged it is set
    aside, never written over. Line ends, byte order mark and permissions stay, and a link stays a link.
    """
    path = _real(path)
    make_folder(path.parent)
    with lock(path.parent):
        try:
            data = _bytes(path)
        except FileNotFoundError:
            data = None
        old, ends, mark = None, False, False
        try:
            if data is not None:
                old = _decoded(path, data)
                ends, mark = old.count("\r\n") == old.count("\n") > 0, data.startswith(codecs.BOM_UTF8)
                old = old.replace("\r\n", "\n") if ends else old
            text = make(old)
        except Damaged as error:
            if old is None and data is None:
                raise
            set_aside(path, error)
            ends = mark = False
            text = make(None)
        check(text)
        for left in path.parent.glob(f"{BESIDE}*{NEW}"):  # of a writer that was killed
            with contextlib.suppress(OSError):
                left.unlink()
        text = text.replace("\n", "\r\n") if ends else text
        replace(path, "\N{ZERO WIDTH NO-BREAK SPACE}" + text if mark else text)


def replace(path: Path, text: str | bytes) -> None:
    """The whole new text or the whole old one, whatever happens: written beside it, read back, then renamed.

    InputError when it cannot be, and then the old one is there still.
    """
    try:
        data = text if isinstance(text, bytes) else text.encode()
    except UnicodeEncodeError:
        raise InputError(
            str(path), "cannot be written: its text holds half a character.", "Type that text again.", kind="file"
        ) from None
    try:
        handle, beside = tempfile.mkstemp(dir=path.parent, prefix=BESIDE, suffix=NEW)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            if Path(beside).read_bytes() != data:
                raise OSError(None, "the disk does not give back what was written")
            with contextlib.suppress(OSError):
                os.chmod(beside, stat.S_IMODE(path.stat().st_mode))
            _rename(beside, path)
        except BaseException:
            with contextlib.suppress(OSError):
                os.unlink(beside)
            raise
    except (OSError, ValueError) as error:
        raise unwritten(path, error) from None
    _flush_folder(path.parent)


def unwritten(path: Path, error: Exception) -> InputError:
    """The error for a file or folder that could not be written."""
    why = getattr(error, "strerror", None) or str(error)
    return InputError(
        str(path),
        f"cannot be written ({why}).",
        "Make sure that the disk has room and that you may write there; COURSEKIT_HOME names your own folder.",
        kind="file",
    )


def set_aside(path: Path, error: InputError) -> None:
    """Rename a file that cannot be read; `stories` reports it."""
    aside = name_aside(path)
    try:
        os.rename(path, aside)
    except OSError as failed:
        raise unwritten(path, failed) from None
    _STORIES.append(
        f"{path.name} {error.problem} It was set aside as {aside.name}: nothing in it was deleted, and a "
        "new one was begun."
    )


def name_aside(path: Path) -> Path:
    """A name beside the file that is free: with the day and the second."""
    stamp = datetime.datetime.now().strftime("%Y-%m-%d-%H%M%S-%f")
    return path.with_name(f"{path.stem}-set-aside-{stamp}{path.suffix}")


def make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        raise unwritten(folder, error) from None


@contextlib.contextmanager
def lock(folder: Path) -> Iterator[None]:
    """Only one at a time in this folder: an SQLite lock, which every system has and which ends with its holder."""
    held = None
    try:
        held = sqlite3.connect(folder / LOCK, timeout=0, isolation_level=None)
        _begin(held)
    except sqlite3.Error as error:
        if held is not None:
            held.close()
        raise InputError(
            str(folder),
            f"cannot be written just now ({error}).",
            "Close other notebooks, make sure that the disk has room and that you may write there, and try again.",
            kind="busy",
        ) from None
    try:
        yield
    finally:
        held.close()
        time.sleep(TURN)


def _begin(held: sqlite3.Connection) -> None:
    """Take the lock as soon as it is free. Asked often: SQLite's own waiting of a tenth of a second starves a writer
    beside others that take the lock again at once."""
    end = time.monotonic() + PATIENCE
    while True:
        try:
            held.execute("begin exclusive")  # nothing is ever written into it
        except sqlite3.OperationalError as error:
            if error.sqlite_errorname != "SQLITE_BUSY" or time.monotonic() > end:
                raise
            time.sleep(random.uniform(0.001, 0.01))
        else:
            return


def _real(path: Path) -> Path:
    try:
        return path.resolve()
    except (OSError, RuntimeError, ValueError) as error:  # links that run in a circle
        raise unwritten(path, error) from None


def _rename(beside: str, path: Path) -> None:
    for wait in (0.01, 0.03, 0.1, 0.3, 0.6, None):
        try:
            os.replace(beside, path)
            return
        except PermissionError:
            if wait is None or sys.platform != "win32":  # Windows refuses as long as somebody reads the old one
                raise
            time.sleep(wait)


def _flush_folder(folder: Path) -> None:
    """The new name is on the disk, too, where a system has that."""
    if os.name == "posix":
        with contextlib.suppress(OSError):
            handle = os.open(folder, os.O_RDONLY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)


def check_page(path: object) -> Path:
    """Refuse what is no place for a page: a folder, and any file that is not a page, such as a recipe."""
    output = Path(str(path)).expanduser()
    if output.is_dir() or not output.parent.is_dir():
        raise InputError(
            str(output), "cannot be written there.", "Name a file in a folder that is there.", kind="file"
        )
    try:
        if output.is_file():
            with output.open("rb") as file:
                page = file.read(100).lstrip().lower().startswith(b"<!doctype html")
        else:
            page = True
    except (OSError, ValueError) as error:
        raise InputError(str(output), f"cannot be read ({error}).", "Name another file.", kind="file") from None
    if not page:
        raise InputError(
            str(output), "is there already and is no page.", "Name another file, such as sheet.html.", kind="file"
        )
    return output


def write_page(path: object, html: str) -> Path:
    """Write a page whole or not at all; only a page is written over."""
    output = check_page(path)
    try:
        if output.exists() and not output.is_file():  # a printer, or another program that waits for it
            output.write_text(html, encoding="utf-8", newline="\n")
        else:
            replace(output.resolve(), html)
    except OSError as error:
        raise InputError(str(output), f"cannot be written ({error.strerror or error}).", kind="file") from None
    return output
