"""A page made of a template and what always stands in it. What is text is escaped as it goes in."""

from __future__ import annotations

import functools
from importlib import resources

import jinja2

from coursekit.markup import Markup


@functools.lru_cache(maxsize=8)
def template(package: str, name: str, **always: str) -> jinja2.Template:
    """The template `name`.html of a package; each of `always` names markup, a style or a script in it."""
    pages = jinja2.Environment(autoescape=True, undefined=jinja2.StrictUndefined, keep_trailing_newline=True)
    known = {key: Markup(text) for key, text in always.items()}
    return pages.from_string(text_of(package, f"{name}.html"), globals=known)


@functools.lru_cache(maxsize=16)
def text_of(package: str, name: str) -> str:
    """A text file that stands in a package."""
    return (resources.files(package) / name).read_text(encoding="utf-8")
