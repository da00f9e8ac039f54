"""What the course must never say, wherever it says it: text of notebooks, tables and the package's own sentences."""

import ast
import json
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
BLOW = re.compile(r"\bblow(n|ing)?\b|\bair gun\b|\bair line\b|\bblasts?\b", re.IGNORECASE)
NEVER = re.compile(r"\b(never|not)\b", re.IGNORECASE)


def strings(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for one in value.values():
            yield from strings(one)
    elif isinstance(value, list):
        for one in value:
            yield from strings(one)


def texts() -> Iterator[tuple[Path, str]]:
    for path in sorted(ROOT.glob("notebooks/*.ipynb")):
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            yield from ((path, line) for line in "".join(cell["source"]).splitlines())
    for path in sorted((ROOT / "coursekit").rglob("*.toml")):
        yield from ((path, text) for text in strings(tomllib.loads(path.read_text(encoding="utf-8"))))
    for path in sorted((ROOT / "coursekit").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield path, node.value


def blows_dust(text: str) -> bool:
    """Whether a text on dust has a sentence on blowing that does not forbid it."""
    if "dust" not in text.casefold():
        return False
    return any(BLOW.search(sentence) and not NEVER.search(sentence) for sentence in re.split(r"(?<=[.!?])\s", text))


def test_sanding_dust_is_never_blown():
    found = [f"{path.relative_to(ROOT)}: {text}" for path, text in texts() if blows_dust(text)]
    assert not found


@pytest.mark.parametrize(
    ("text", "blown"),
    [
        ("Blow, wipe, wash, and wipe dry: sanding dust under a coat is a coat that peels.", True),
        ("Take the dust off with the air gun.", True),
        ("Sanding dust: vacuum it up; never blow it off.", False),
        ("Fold it over the width of a finger, and blow less.", False),
    ],
)
def test_the_search_for_blown_dust_finds_it(text, blown):
    assert blows_dust(text) is blown
