"""Files that come with the course but are no part of the package: beside it in its own folder, else as installed."""

from __future__ import annotations

import importlib.metadata
from pathlib import Path

_TOP = Path(__file__).parents[2]


def shipped(place: str) -> dict[str, Path]:
    """The files of "notebooks" or "tests/published" by their path below it."""
    if (here := _TOP / place).is_dir():
        return {
            path.relative_to(here).as_posix(): path
            for path in sorted(here.rglob("*"))
            if path.is_file() and ".ipynb_checkpoints" not in path.parts
        }
    share = ("share", "coursekit", Path(place).name)
    found = {}
    for file in importlib.metadata.files("coursekit") or []:
        parts = file.parts[file.parts.index("share") :] if "share" in file.parts else ()
        if parts[: len(share)] == share:
            path = Path(str(file.locate()))
            if not path.exists():  # installed by `pip install --target`, whose record says another place
                path = Path(str(importlib.metadata.distribution("coursekit").locate_file(Path(*parts))))
            found["/".join(parts[len(share) :])] = path
    return dict(sorted(found.items()))
