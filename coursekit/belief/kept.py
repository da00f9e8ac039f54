"""Draws that were learnt, kept in the learner's folder, so that every other notebook opens with them at once.

Nothing hangs on these files: one that is missing, damaged or of another version is learnt again, to the same draws.
"""

from __future__ import annotations

import contextlib
import functools
import hashlib
import io
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from coursekit import folder, keeping
from coursekit.errors import InputError

FOLDER, END, MOST = "learnt", ".npy", 6  # files; the oldest goes first
PACKAGE = Path(__file__).parents[1]
APART = ("lesson", "repair", "panel")  # no number of the belief comes from there
CHECK = 32  # bytes at the end by which a damaged file is known

Columns = dict[str, np.ndarray]


def name_of(asked: Any) -> str:
    """The same for the same readings, tables and physics; another for any other."""
    with np.printoptions(threshold=sys.maxsize, floatmode="unique"):
        return hashlib.sha256(f"{_version()} {asked!r}".encode()).hexdigest()[:32]


@functools.lru_cache(maxsize=1)
def _version() -> str:
    found = hashlib.sha256(np.__version__.encode())
    code = [file for file in PACKAGE.rglob("*.py") if file.relative_to(PACKAGE).parts[0] not in APART]
    tables = [file for part in ("coefficients", "facts") for file in (PACKAGE / "tables" / part).glob("*.toml")]
    for file in sorted([*code, *tables, PACKAGE / "tables" / "belief.npy"]):
        found.update(file.name.encode() + file.read_bytes())
    return found.hexdigest()


def read(name: str) -> Columns | None:
    """The columns that were written under that name, or None."""
    try:
        file = folder.place() / FOLDER / (name + END)
        data = file.read_bytes() if file.is_file() else b""
        if data[-CHECK:] != _check(name, data[:-CHECK]):
            return None
        found = np.load(io.BytesIO(data[:-CHECK]), allow_pickle=False)
        return {key: np.ascontiguousarray(found[key]) for key in found.dtype.names}
    except (OSError, ValueError, InputError):
        return None


def write(name: str, columns: Mapping[str, np.ndarray]) -> None:
    """Keep columns of one length, where that can be done. The learner's folder is not made for it."""
    whole = np.zeros(len(next(iter(columns.values()))), dtype=[(key, float) for key in columns])
    for key, values in columns.items():
        whole[key] = values
    body = io.BytesIO()
    np.save(body, whole, allow_pickle=False)
    with contextlib.suppress(OSError, InputError):
        place = folder.place()
        if place.is_dir():
            (place / FOLDER).mkdir(exist_ok=True)
            keeping.replace(place / FOLDER / (name + END), body.getvalue() + _check(name, body.getvalue()))
            files = sorted((place / FOLDER).glob("*" + END), key=lambda file: file.stat().st_mtime_ns)
            for old in files[:-MOST]:
                old.unlink()


def _check(name: str, body: bytes) -> bytes:
    return hashlib.sha256(name.encode() + body).digest()
