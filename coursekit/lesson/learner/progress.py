"""The learner's own record: each try, hint and prediction goes to disk at once, in an SQLite file of their own.

A power cut loses at most the answer being typed: every entry is a transaction of its own, flushed to the disk before
the lesson goes on. A damaged file is set aside, never deleted; a new one starts with what can still be read
in it. Another program's database is refused and not touched.
"""

from __future__ import annotations

import contextlib
import os
import secrets
import shutil
import sqlite3
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

from coursekit import keeping
from coursekit.folder import place, stamp
from coursekit.quantities import InputError

FILE = "progress.sqlite"
FORMAT = 1
OURS = 0x436B5072  # application_id of the file: whose it is
_TABLE = """create table if not exists events (
    id integer primary key, at text not null, kind text not null, key text not null, seed text not null,
    round integer not null, system text not null, answer text not null, outcome text not null)"""
PATIENCE = 5.0  # s to wait for another notebook that is writing
MOST_ROUNDS = 10**6
# What may pass by itself, and says nothing of the file: busy, no rights, no room, no memory, interrupted.
_PASSING = {
    sqlite3.SQLITE_BUSY,
    sqlite3.SQLITE_LOCKED,
    sqlite3.SQLITE_PERM,
    sqlite3.SQLITE_READONLY,
    sqlite3.SQLITE_FULL,
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_NOMEM,
    sqlite3.SQLITE_INTERRUPT,
    sqlite3.SQLITE_PROTOCOL,
    sqlite3.SQLITE_AUTH,
}
T = TypeVar("T")


class Event(NamedTuple):
    """One thing the learner did: kind is try, hint, round (new numbers asked for) or prediction."""

    at: str
    kind: str
    key: str
    seed: str
    round: int
    system: str
    answer: str
    outcome: str


_COLUMNS = ", ".join(Event._fields)
_INSERT = f"insert into events ({_COLUMNS}) values ({', '.join('?' * len(Event._fields))})"


class Progress:
    """The record in one file; opened for each entry, so that several notebooks may share it."""

    def __init__(self, path: Path | None = None) -> None:
        self._path = path
        self.message = ""  # what the learner must know of the file; said once

    @property
    def path(self) -> Path:
        return self._path or place() / FILE

    def store(
        self,
        kind: str,
        key: str,
        *,
        seed: str = "",
        round: int = 0,
        system: str = "",
        answer: str = "",
        outcome: str = "",
    ) -> None:
        """Write one event; it is on the disk when this returns."""
        texts = (keeping.now().isoformat(), kind, key, seed, system, answer, outcome)
        at, kind, key, seed, system, answer, outcome = (text.encode(errors="replace").decode() for text in texts)
        event = Event(at, kind, key, seed, round, system, answer, outcome)
        self._do(lambda db: db.execute(_INSERT, event))

    def events(self, kind: str = "", key: str = "") -> list[Event]:
        """What was done, oldest first; of one kind or one exercise when asked."""
        if not os.path.lexists(self.path):
            return []
        asked = f"select {_COLUMNS} from events where (kind = ? or ? = '') and (key = ? or ? = '')"
        return self._do(lambda db: _sound(db.execute(f"{asked} order by id", (kind, kind, key, key))))

    def _do(self, work: Callable[[sqlite3.Connection], T]) -> T:
        for _ in range(3):
            file = stamp(self.path)
            try:
                with contextlib.closing(self._open()) as db, db:
                    return work(db)
            except (sqlite3.ProgrammingError, sqlite3.InterfaceError, sqlite3.NotSupportedError):
                raise  # a fault of the course, not of the file
            except (sqlite3.Error, UnicodeError) as error:
                if getattr(error, "sqlite_errorcode", 0) & 0xFF in _PASSING and not self._odd_header():
                    remedy = "Close other notebooks, make sure that the disk has room, and try again."
                    raise InputError(
                        "progress", f"{self.path} cannot be used just now ({error}).", remedy, kind="busy"
                    ) from None
                self._set_aside(file)
        raise InputError(
            "progress", f"{self.path} cannot be begun anew.", "Look at that folder: is the disk sound?", kind="file"
        )

    def _open(self) -> sqlite3.Connection:
        path = self.path
        keeping.make_folder(path.parent)
        if os.path.lexists(path) and not path.is_file():
            raise InputError("progress", f"{path} is not an ordinary file.", "Move it away.", kind="file")
        db = sqlite3.connect(path, timeout=PATIENCE)
        db.text_factory = _text
        try:
            if self._whose(db) != OURS:
                with db:
                    db.execute("begin immediate")
                    db.execute(_TABLE)
                    db.execute(f"pragma application_id = {OURS}")
                    db.execute(f"pragma user_version = {FORMAT}")
            db.execute("pragma journal_mode = wal")
            db.execute("pragma synchronous = full")
        except BaseException:
            db.close()
            raise
        return db

    def _whose(self, db: sqlite3.Connection) -> int:
        """Whose mark the file carries; refuses another program's before writing anything into it."""
        owner, version = (db.execute(f"pragma {what}").fetchone()[0] for what in ("application_id", "user_version"))
        columns = [row[1] for row in db.execute("pragma table_info(events)")]
        wanted = ["id", *Event._fields]
        if len(set(columns) & set(wanted)) > len(wanted) / 2 and version > FORMAT:
            raise InputError(
                "progress",
                f"{self.path} was written by a newer course.",
                "Use the newer course, or move the file away.",
                kind="file",
            )
        if columns == wanted and owner == OURS and version == FORMAT:
            return OURS
        if columns == wanted and db.execute("pragma quick_check(1)").fetchone()[0] == "ok":
            return 0  # from before it bore a mark
        empty = db.execute("select count(*) from sqlite_master").fetchone()[0] == 0
        if owner == OURS or len(set(columns) & set(wanted)) > len(wanted) / 2:
            if not empty:
                raise sqlite3.DatabaseError("its table is damaged")
        elif not empty or owner:
            raise InputError(
                "progress", f"{self.path} is a database of another program.", "Move it away.", kind="file"
            )
        return 0

    def _odd_header(self) -> bool:
        """Whether the file itself forbids what the system allows: a damaged byte of its head says read-only."""
        try:
            with self.path.open("rb") as file:
                return not set(file.read(20)[18:]) <= {1, 2}
        except OSError:
            return False

    def _set_aside(self, file: Any) -> None:
        """Rename the damaged file, unless another notebook has done so, and carry over what can be read in it."""
        path = self.path
        with keeping.lock(path.parent):
            there = stamp(path)
            if file is None or there is None or there[2] != file[2]:
                return
            aside = keeping.name_aside(path)
            try:
                for tail in ("", "-wal", "-shm"):
                    with contextlib.suppress(FileNotFoundError):
                        path.with_name(path.name + tail).replace(aside.with_name(aside.name + tail))
                read = _readable(aside)
                with contextlib.closing(self._open()) as db, db:
                    db.executemany(_INSERT, read)
            except (OSError, sqlite3.Error) as error:
                raise keeping.unwritten(path, error) from None
        carried = f"{len(read)} of its entries could still be read and are in it" if read else "it is empty"
        self.message = (
            f"Your progress file could not be read. It was set aside as {aside.name}, nothing in it was deleted, "
            f"and a new one was started: {carried}. What you measured is kept in another file and is not touched."
        )


LARGEST = 100_000_000  # bytes of a file that is read for somebody else
STEPS = 50_000_000  # of the engine, on one file: a file made to take for ever is let go


def read_of(path: Path) -> list[Event]:
    """The entries of another person's file, read from a copy: theirs is not touched, not even mended.

    Raises InputError for a file that is damaged, of another program, of a newer course, or no file at all.
    """
    if path.is_symlink() or not path.is_file():
        raise _unread(path, "is not an ordinary file")
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / FILE
        try:
            if path.stat().st_size > LARGEST:
                raise _unread(path, "is larger than any progress file")
            for tail in ("", "-wal"):
                if (part := path.with_name(path.name + tail)).is_file() and not part.is_symlink():
                    shutil.copyfile(part, copy.with_name(copy.name + tail))
        except OSError as error:
            raise _unread(path, f"cannot be read ({error.strerror})") from None
        try:
            with contextlib.closing(sqlite3.connect(copy)) as db:
                return _read_strictly(db, path)
        except (sqlite3.Error, UnicodeError, OverflowError) as error:
            raise _unread(path, f"is damaged, or no progress file ({error})") from None


def _read_strictly(db: sqlite3.Connection, path: Path) -> list[Event]:
    left = [STEPS // 1_000_000]

    def stop() -> bool:
        left[0] -= 1
        return left[0] < 0

    db.set_progress_handler(stop, 1_000_000)
    db.text_factory = _text
    db.execute("pragma trusted_schema = off")
    owner, version = (db.execute(f"pragma {what}").fetchone()[0] for what in ("application_id", "user_version"))
    if owner != OURS:
        raise _unread(path, "is no progress file of this course")
    if version > FORMAT:
        raise _unread(path, "was written by a newer course")
    if db.execute("select type from sqlite_master where name = 'events'").fetchall() != [("table",)]:
        raise _unread(path, "holds no table of entries")
    if db.execute("pragma quick_check(1)").fetchone()[0] != "ok":
        raise _unread(path, "is damaged")
    return _sound(db.execute(f"select {_COLUMNS} from events order by id"))


def _unread(path: Path, why: str) -> InputError:
    return InputError("progress", f"{path.name} {why}.", "It was skipped.", kind="file")


def write_copy(source: Path, place: Path) -> None:
    """A copy of a progress file as it stands, whole, while others write on in it."""
    with contextlib.closing(sqlite3.connect(source, timeout=PATIENCE)) as db:
        beside = place.with_name(f".coursekit-{secrets.token_hex(4)}.new")
        try:
            with contextlib.closing(sqlite3.connect(beside)) as copy:
                db.backup(copy)
                copy.execute("pragma journal_mode = delete")  # one file, nothing beside it
            beside.replace(place)
        finally:
            beside.unlink(missing_ok=True)


def _text(data: bytes) -> str:
    return data.decode(errors="replace")  # one bad byte in an answer is no reason to lose the rest


def _sound(rows: Iterable[tuple[Any, ...]]) -> list[Event]:
    found = [Event(*row) for row in rows]
    for event in found:
        if not _is_sound(event):
            raise sqlite3.DatabaseError("an entry is damaged")
    return found


def _is_sound(event: Event) -> bool:
    texts = all(isinstance(text, str) for text in event[:4] + event[5:])
    return texts and isinstance(event.round, int) and 0 <= event.round < MOST_ROUNDS


def _readable(damaged: Path) -> list[Event]:
    """The entries of a damaged file before and behind the damage, read from a copy."""
    found: dict[int, Event] = {}
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / FILE
        for tail in ("", "-wal"):
            with contextlib.suppress(FileNotFoundError):
                shutil.copyfile(damaged.with_name(damaged.name + tail), copy.with_name(copy.name + tail))
        for order in ("asc", "desc"):
            with contextlib.suppress(sqlite3.Error, UnicodeError), contextlib.closing(sqlite3.connect(copy)) as db:
                db.text_factory = _text
                for number, *row in db.execute(f"select id, {_COLUMNS} from events order by id {order}"):
                    event = Event(*row)
                    if isinstance(number, int) and _is_sound(event):
                        found[number] = event
    return [found[number] for number in sorted(found)]
