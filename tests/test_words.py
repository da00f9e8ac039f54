"""What a person reads: short sentences, and one term for one thing (`coursekit/tables/data/terms.toml`)."""

import ast
import functools
import json
import re
import tomllib
from pathlib import Path

from coursekit import lesson
from coursekit.lesson.learner.both_systems import in_one
from coursekit.nomenclature import load_data
from tests.kept import kept

ROOT = Path(__file__).parents[1]
LONGEST = 30  # words of a sentence
ENDS = re.compile(r"(?<=[.!?])[\"”*]*\s+")


def sentences(text):
    return [sentence for sentence in ENDS.split(text) if sentence.strip()]


def long(text):
    """The sentences of a text that have more than thirty words."""
    return [one for one in sentences(text) if len(one.split()) > LONGEST]


def said(path):
    """Strings of a module that are no docstring; what is filled in stands as one word."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    nodes, apart = list(ast.walk(tree)), set()  # docstrings, and what is inside another string
    for node in nodes:
        if isinstance(node, ast.Expr):
            apart.add(id(node.value))
        if isinstance(node, ast.JoinedStr):
            apart.update(id(part) for part in ast.walk(node) if part is not node)
    for node in nodes:
        if id(node) in apart:
            continue
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value
        elif isinstance(node, ast.JoinedStr):
            yield "".join(part.value if isinstance(part, ast.Constant) else "x" for part in node.values)


def written(value, key=""):
    """Texts of a table; a source is quoted as it is."""
    if isinstance(value, str) and key not in ("source", "never"):
        yield value
    elif isinstance(value, dict):
        for name, part in value.items():
            yield from written(part, name)
    elif isinstance(value, list):
        for part in value:
            yield from written(part, key)


@functools.cache
def texts():
    """Where each text stands, and the text: notebooks by paragraphs, tables, the package's own strings."""
    found = []
    for path in sorted((ROOT / "notebooks").glob("*.ipynb")):
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            if cell["cell_type"] == "markdown":
                told = re.sub(r"```.*?```", "", "".join(cell["source"]), flags=re.DOTALL)
                found += [(path.name, line) for line in told.split("\n") if not line.startswith("|")]
    for path in sorted((ROOT / "coursekit").rglob("*.toml")):
        if path.parent.name not in ("sources", "facts"):
            table = tomllib.loads(path.read_text(encoding="utf-8"))
            shown = (in_one(text, system) for text in written(table) if " " in text for system in ("metric", "us"))
            found += [(path.name, text) for text in shown]
    for path in sorted((ROOT / "coursekit").rglob("*.py")):
        found += [(path.name, text) for text in said(path) if " " in text and "create table" not in text]
    return found


def test_no_sentence_has_more_than_thirty_words():
    assert [(where, one) for where, text in texts() for one in long(text)] == []
    assert long("word " * 31) and not long("word " * 30)


def test_no_sentence_of_a_bench_has_more_than_thirty_words():
    """At its start values and with each slider moved, in both systems, filled in with figures."""
    assert [(where, one) for where, text in kept("benches").items() for one in long(text)] == []


def never_said():
    rows = [*load_data("terms")["term"].values(), *load_data("terms")["plain"].values()]
    return [re.compile(one, re.MULTILINE) for row in rows for one in row.get("never", ())]


def test_one_term_for_one_thing():
    never = never_said()
    assert len(texts()) > 5000 and len(never) > 15
    assert [(one.pattern, where, text) for where, text in texts() for one in never if one.search(text)] == []


def test_the_check_of_terms_can_fail():
    for bad in (
        "the sheet asks for 3 h",
        "Who sprays it is harmed.",
        "that hangs on how cold it is",
        "dull the panel",
    ):
        assert any(one.search(bad) for one in never_said()), bad


def test_the_glossary_shows_the_terms_of_the_trade():
    told = lesson.glossary().text
    assert "sag limit" in told and "DA sander" in told and "UK key, flat" in told
