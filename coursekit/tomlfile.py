"""A person's TOML file, read strictly: every complaint names the file, the line, the field and the remedy."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Any, NoReturn

from coursekit.quantities import InputError, RangeError, read

LARGEST_FILE = 1_000_000  # characters; a recipe of a hundred steps has some 20 000
Where = tuple[str | int, ...]
_HEADER = re.compile(r"^\s*\[(\[)?\s*([^\[\]#]+?)\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(r"^\s*([A-Za-z0-9_\-.\"' ]+?)\s*=")


class Document:
    """The parsed file (`data`) and the line on which each of its keys stands."""

    def __init__(self, text: str, name: str) -> None:
        self.name = name
        if len(text) > LARGEST_FILE:
            raise InputError(name, f"has {len(text)} characters.", "A file for this course is far shorter.")
        try:
            self.data: dict[str, Any] = tomllib.loads(text)
        except (tomllib.TOMLDecodeError, RecursionError) as error:
            raise InputError(name, f"cannot be read as TOML: {error or 'too deep'}.",
                             'Write one `key = "value"` a line; mend that line.') from None  # fmt: skip
        self.lines = _lines_of(text)

    def line(self, where: Where) -> int:
        """The line of a key, or of the nearest table that holds it."""
        while where and where not in self.lines:
            where = where[:-1]
        return self.lines.get(where, 1)

    def fail(self, where: Where, problem: str, remedy: str) -> NoReturn:
        field = ".".join(str(w + 1 if isinstance(w, int) else w) for w in where) or "file"
        raise InputError(f"{self.name}, line {self.line(where)}, {field}", problem, remedy) from None

    def check_keys(self, where: Where, table: Any, known: Iterable[str]) -> dict[str, Any]:
        """`table` itself when it is a table that holds only known keys; the error names the nearest key."""
        known = list(known)
        if not isinstance(table, dict):
            self.fail(where, "must be a table of keys.", "Write its keys on lines: " + ", ".join(known) + ".")
        for key in table:
            if key not in known:
                close = difflib.get_close_matches(str(key), known, 1, 0.5)
                remedy = f"Did you mean {close[0]}?" if close else "Keys here: " + ", ".join(known) + "."
                self.fail((*where, key), "is not a key of this table.", remedy)
        return table

    def quantity(self, where: Where, value: Any, name: str) -> Any:
        """The value at `where` read as the quantity `name`, in SI."""
        try:
            return read(value, name)
        except RangeError as error:
            text = str(error)
            self.fail(where, text[text.index(": ") + 2 :], "")
        except InputError as error:
            self.fail(where, error.problem, error.remedy)


def load(path: str | Path) -> Document:
    """Read a file of the learner's own; InputError when it is missing, not text or not TOML."""
    try:
        file = Path(path)
        text = file.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise InputError(str(path), "is not there.", "Check the folder and the name.") from None
    except (OSError, UnicodeError, TypeError, ValueError) as error:
        reason = type(error).__name__
        raise InputError(str(path)[:200], f"cannot be read as text ({reason}).", "Give a TOML file.") from None
    return Document(text, file.name)


def _lines_of(text: str) -> dict[Where, int]:
    """Where each key stands. Only for messages, so keys inside long strings do no harm."""
    found: dict[Where, int] = {}
    counts: dict[Where, int] = {}
    table: Where = ()
    for number, line in enumerate(text.splitlines(), 1):
        if header := _HEADER.match(line):
            table = _parts(header[2], counts)
            if header[1]:
                counts[table] = counts.get(table, -1) + 1
                table = (*table, counts[table])
            found.setdefault(table, number)
        elif key := _KEY.match(line):
            found.setdefault((*table, *_split(key[1])), number)
    return found


def _split(dotted: str) -> Where:
    return tuple(p.strip().strip("\"'") for p in dotted.split("."))


def _parts(dotted: str, counts: dict[Where, int]) -> Where:
    where: Where = ()
    parts = _split(dotted)
    for number, part in enumerate(parts):
        where = (*where, part)
        if where in counts and number < len(parts) - 1:
            where = (*where, counts[where])
    return where
