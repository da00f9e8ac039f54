"""A person's TOML file, read strictly: every complaint names the file, the line, the field and the remedy."""

from __future__ import annotations

import difflib
import functools
import re
import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Any, NoReturn

from coursekit.errors import ErrorKind, InputError, Where, Words
from coursekit.keeping import read_text
from coursekit.reading import read

LARGEST_FILE = 400_000  # characters; a recipe of a hundred steps has some 20 000
MOST_DOTS = 8  # in a key: tomllib takes the square of the time of its parts
MOST_LEVELS = 100  # of tables and lists in each other
LARGEST_WHOLE = 2**63
LONGEST_WORD = 60  # of what was written, in a complaint
_QUOTED = re.compile(r""" "[^"]*" | '[^']*' """, re.VERBOSE)
_PLAIN_KEY = re.compile(r"[A-Za-z0-9_\-.\"' \t]+")


class Document:
    """The parsed file (`data`) and the line on which each of its keys stands."""

    data: dict[str, Any]
    renamed: dict[Where, Where]  # keys of `data` that the file writes otherwise, and where they stand in it
    _text: str | None  # none for tables that come from no file

    def __init__(self, text: str, name: str) -> None:
        self.name, self._text, self.renamed = name, text, {}
        if len(text) > LARGEST_FILE:
            raise InputError(
                name,
                f"has {len(text)} characters.",
                "A file for this course is far shorter.",
                kind="too long",
                figures={"length": len(text), "longest": LARGEST_FILE},
            )
        for number, line in enumerate(text.split("\n"), 1):
            if line.count(".") > MOST_DOTS and _dots(line) > MOST_DOTS:
                raise InputError(
                    name, f"has a key of too many parts (line {number}).", "Write short keys.", kind="too long"
                )
        try:
            self.data = tomllib.loads(text)
        except (ValueError, RecursionError) as error:  # TOMLDecodeError, and a number of thousands of digits
            why = "tables or lists lie too deep in each other" if isinstance(error, RecursionError) else error
            raise InputError(
                name,
                f"cannot be read as TOML: {why}.",
                'Write one `key = "value"` a line; mend that line.',
                kind="syntax",
            ) from None
        self._check_values()

    @classmethod
    def of_tables(cls, data: dict[str, Any], name: str, within: Document | None = None) -> Document:
        """Tables that come from no file, so that there are no lines to name; or from one that is read already."""
        document = cls.__new__(cls)
        document.data, document.name, document.renamed = data, name, {}
        document._text = within._text if within else None
        return document

    @functools.cached_property
    def lines(self) -> dict[Where, int]:
        """On which line each key stands; worked out for the first complaint."""
        return {} if self._text is None else _lines_of(self._text.split("\n"))

    def _check_values(self) -> None:
        """Refuse what could not even be named in a complaint: numbers without end, levels without end."""
        left: list[tuple[Where, Any]] = [((), self.data)]
        while left:
            where, value = left.pop()
            if len(where) > MOST_LEVELS:
                self.fail(where[:3], "lies too deep.", "Write fewer tables and lists in each other.", kind="too long")
            for key, part in value.items() if isinstance(value, dict) else enumerate(value):
                if isinstance(part, (dict, list)):
                    left.append(((*where, key), part))
                elif isinstance(part, int) and abs(part) >= LARGEST_WHOLE:
                    self.fail(
                        (*where, key), "is too large a number.", "Write it shorter, with its unit.", kind="too long"
                    )

    def line(self, where: Where) -> int:
        """The line of a key, or of the nearest table that holds it; 0 for tables that come from no file."""
        where = self.renamed.get(where, where)
        while where and where not in self.lines:
            where = where[:-1]
        return 0 if self._text is None else self.lines.get(where, 1)

    def fail(self, where: Where, problem: Words, remedy: Words, kind: ErrorKind) -> NoReturn:
        """Refuse what stands at `where`."""
        self.refuse(where, InputError("", problem, remedy, kind=kind))

    def refuse(self, where: Where, error: InputError) -> NoReturn:
        """Raise an error again, about what stands at `where`."""
        raise error.at(where=where, file=self.name, line=self.line(where)) from None

    def check_keys(self, where: Where, table: object, known: Iterable[str]) -> dict[str, Any]:
        """`table` itself when it is a table that holds only known keys; the error names the nearest key."""
        known = list(known)
        if not isinstance(table, dict):
            remedy = "Write its keys on lines: " + ", ".join(known) + "."
            self.fail(where, "must be a table of keys.", remedy, "table")
        for key in table:
            if key not in known:
                close = difflib.get_close_matches(str(key)[:LONGEST_WORD], known, 1, 0.5)
                remedy = f"Did you mean {close[0]}?" if close else "Keys here: " + ", ".join(known) + "."
                self.fail((*where, key), "is not a key of this table.", remedy, "unknown key")
        return table

    def quantity(self, where: Where, value: object, name: str) -> Any:
        """The value at `where` read as the quantity `name`, in SI."""
        try:
            return read(value, name)
        except InputError as error:
            self.refuse(where, error)


def load(path: str | Path) -> Document:
    """Read a file of the learner's own; InputError when it is missing, not text or not TOML."""
    try:
        text = read_text(path)
    except FileNotFoundError:
        raise InputError(str(path), "is not there.", "Check the folder and the name.", kind="file") from None
    return Document(text, Path(path).name)


def _dots(line: str) -> int:
    """The most dots in what may be a key of this line: the line of a table, or what stands before a =."""
    *keys, rest = _QUOTED.sub("q", line).partition("#")[0].split("=")
    if line.lstrip().startswith("["):
        keys.append(re.split(r"[,\]]", rest if not keys else keys[0], maxsplit=1)[0])
    return max((key.count(".") for key in keys), default=0)


def _lines_of(lines: list[str]) -> dict[Where, int]:
    """Where each key stands. Only for messages, so keys inside long strings do no harm."""
    found: dict[Where, int] = {}
    counts: dict[Where, int] = {}
    table: Where = ()
    for number, line in enumerate(lines, 1):
        if header := _header(line):
            table = _parts(header[0], counts)
            if header[1]:
                counts[table] = counts.get(table, -1) + 1
                table = (*table, counts[table])
            found.setdefault(table, number)
        else:
            key, equals, _ = line.partition("=")
            if equals and _PLAIN_KEY.fullmatch(key):
                found.setdefault((*table, *_split(key)), number)
    return found


def _header(line: str) -> tuple[str, bool] | None:
    """The name in `[name]` or `[[name]]`, and whether it is the latter."""
    text = line.strip()
    if not text.startswith("["):
        return None
    marks = 2 if text.startswith("[[") else 1
    name, closed, rest = text[marks:].partition("]" * marks)
    if not closed or set(name) & set("[]#") or rest.strip()[:1] not in ("", "#"):
        return None
    return name.strip(), marks == 2


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
