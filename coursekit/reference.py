"""Every public call by trade: `python -m coursekit reference`, or `reference.page("film")` in a notebook.

The arguments come from the nomenclature, the examples are run when the page is made: nothing on it is typed twice.
"""

from __future__ import annotations

import functools
import importlib
import inspect
import pkgutil
from collections.abc import Iterator
from typing import Any

from coursekit.describing import described, example_of, text
from coursekit.errors import InputError
from coursekit.markup import Markup, folded, table, tag, together
from coursekit.quantities import Public

TRADES = ("film", "mixing", "sanding", "spraying", "drying", "colour", "garage")


@functools.lru_cache(maxsize=64)
def public_calls(trade: str) -> dict[str, Public[..., Any, Any]]:
    """Every public call of a trade, "film" or "spraying.overspray", by its name."""
    try:
        top = importlib.import_module(f"coursekit.{trade}")
    except (ImportError, TypeError):
        raise InputError(
            "trade", f'"{trade!s:.40}" is no part of the course.', 'Write "film" or "mixing".', kind="unknown"
        ) from None
    modules = [top]
    for found in pkgutil.walk_packages(getattr(top, "__path__", []), f"{top.__name__}."):
        modules.append(importlib.import_module(found.name))
    calls = {
        name: call
        for module in modules
        for name, call in vars(module).items()
        if isinstance(call, Public) and call.__module__.startswith(top.__name__) and not name.startswith("_")
    }
    return dict(sorted(calls.items()))


class Page:
    """The reference of some trades, as text and as HTML."""

    def __init__(self, trades: tuple[str, ...]) -> None:
        self.trades = trades

    def lines(self) -> Iterator[str]:
        """The page as text: the calls of each trade in a list, then one by one."""
        for trade in self.trades:
            calls = public_calls(trade)
            yield from (f"{trade}: {_about(trade)}", "")
            yield from (f"  {call!r}\n      {described(call).what}" for call in calls.values())
            for call in calls.values():
                yield from ("", f"{call!r}", *(f"    {line}".rstrip() for line in text(call).splitlines()))
            yield ""

    def __str__(self) -> str:
        return "\n".join(self.lines())

    def __repr__(self) -> str:
        return "\n".join(f"{call!r}" for trade in self.trades for call in public_calls(trade).values())

    @property
    def html(self) -> str:
        """The page as HTML, each call folded."""
        parts: list[Markup] = []
        for trade in self.trades:
            parts.append(tag("h3", f"{trade}: {_about(trade)}"))
            parts += [_folded(call) for call in public_calls(trade).values()]
        return together(parts)

    def _repr_html_(self) -> str:
        return self.html


def page(*trades: str) -> Page:
    """The reference of some trades; of all when none is named."""
    for trade in trades:
        public_calls(trade)
    return Page(trades or TRADES)


def _about(trade: str) -> str:
    return (inspect.getdoc(importlib.import_module(f"coursekit.{trade}")) or "").splitlines()[0]


def _folded(call: Public[..., Any, Any]) -> Markup:
    found = described(call)
    head = ("argument", "what it is", "kind", "range", "when left out")
    rows = ((tag("code", one.name), one.meaning, one.kind, one.range, one.usual) for one in found.arguments)
    shown = tag("pre", f">>> {found.example}\n{example_of(call)}") if found.example else ""
    title = together((tag("code", repr(call)), " ", found.what))
    return folded(title, table(head, rows), tag("p", found.rest), shown)
