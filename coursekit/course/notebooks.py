"""The list of notebooks, in their order."""

from __future__ import annotations

import tomllib
from importlib import resources
from typing import Any


def notebooks() -> list[dict[str, Any]]:
    """What each notebook is called and teaches, in their order."""
    text = (resources.files("coursekit.course") / "notebooks.toml").read_text(encoding="utf-8")
    found: list[dict[str, Any]] = tomllib.loads(text)["notebook"]
    return found
