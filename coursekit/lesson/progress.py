"""The learner's own record: each try, hint and prediction goes to disk at once, in an SQLite file of their own.

A power cut loses at most the answer being typed: every entry is a transaction of its own, flushed to the disk before
the lesson goes on. A file that cannot be read is set aside, never deleted, and a new one is begun.
"""

from __future__ import annotations

import contextlib
import datetime
import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple, TypeVar

from coursekit.folder import folder
from coursekit.quantities import InputError

FILE = "progress.sqlite"
FORMAT = 1
_TABLE = """create table if not exists events (
    id integer primary key, at text not null, kind text not null, key text not null, seed text not null,
    round integer not null, system text not null, answer text not null, outcome text not null)"""
PATIENCE = 5.0  # s to wait for another notebook that is writing
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


class Progress:
    """The record in one file; opened for each entry, so that several notebooks may share it."""

    def __init__(self, path: Path | None = None) -> None:
        self.path = path or folder() / FILE
        self.message = ""  # what the learner must know of the file; said once

    def store(self, kind: str, key: str, *, seed: str = "", round: int = 0, system: str = "", answer: str = "",
              outcome: str = "") -> None:  # fmt: skip
        """Write one event; it is on the disk when this returns."""
        at = datetime.datetime.now().astimezone().isoformat(timespec="seconds")
        event = Event(at, kind, key, seed, round, system, answer, outcome)
        places = ", ".join("?" * len(event))
        self._do(lambda db: db.execute(f"insert into events ({', '.join(Event._fields)}) values ({places})", event))

    def events(self, kind: str = "", key: str = "") -> list[Event]:
        """What was done, oldest first; of one kind or one exercise when asked."""
        asked = f"select {', '.join(Event._fields)} from events where (kind = ? or ? = '') and (key = ? or ? = '')"
        rows = self._do(lambda db: db.execute(f"{asked} order by id", (kind, kind, key, key)).fetchall())
        return [Event(*row) for row in rows]

    def _do(self, work: Callable[[sqlite3.Connection], T]) -> T:
        for _ in range(2):
            try:
                with contextlib.closing(self._open()) as db, db:
                    return work(db)
            except sqlite3.OperationalError as error:  # locked, read-only, disk full: the file itself may be sound
                remedy = "Close other notebooks, see that the disk has room, and try again."
                raise InputError("progress", f"{self.path} cannot be used just now ({error}).", remedy) from None
            except sqlite3.DatabaseError as error:
                if type(error) is not sqlite3.DatabaseError:
                    raise
                self._set_aside()
        raise InputError("progress", f"{self.path} cannot be begun anew.", "Look at that folder: is the disk sound?")

    def _open(self) -> sqlite3.Connection:
        db = sqlite3.connect(self.path, timeout=PATIENCE)
        try:
            db.execute("pragma journal_mode = wal")
            db.execute("pragma synchronous = full")
            found = db.execute("pragma user_version").fetchone()[0]
            if found > FORMAT:
                raise InputError("progress", f"{self.path} was written by a newer course.", "Use the newer course.")
            if found < FORMAT:
                db.execute(_TABLE)
                db.execute(f"pragma user_version = {FORMAT}")
        except BaseException:
            db.close()
            raise
        return db

    def _set_aside(self) -> None:
        stamp = datetime.datetime.now().strftime("%Y-%m-%d-%H%M%S-%f")
        aside = self.path.with_name(f"{self.path.stem}-set-aside-{stamp}{self.path.suffix}")
        for tail in ("", "-wal", "-shm"):
            with contextlib.suppress(FileNotFoundError):
                self.path.with_name(self.path.name + tail).replace(aside.with_name(aside.name + tail))
        self.message = (
            f"Your progress file could not be read. It was set aside as {aside.name}, nothing in it was deleted, "
            "and a new one was begun. What you measured is kept in another file and is not touched."
        )
