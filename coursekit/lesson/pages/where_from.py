"""Where the numbers of a trade come from."""

from __future__ import annotations

import inspect
import re

from coursekit import quantities
from coursekit.lesson.learner import unit_system
from coursekit.lesson.pages.glossary import spoken
from coursekit.lesson.screen import page
from coursekit.lesson.screen.page import Piece
from coursekit.reference import public_calls
from coursekit.sources import sources
from coursekit.uncertain import Coefficient


def sources_of(trade: str) -> Piece:
    """Where the numbers of a trade come from: the sources of each call, and its uncertain coefficients."""
    known, rows = sources(), []
    coefficients: dict[str, Coefficient] = {}
    for name, call in public_calls(trade).items():
        plain = inspect.getdoc(call.si) or ""
        said = plain.rpartition("Source: ")[2]
        cited = [key for key in dict.fromkeys(re.findall(r"[a-z0-9][a-z0-9-]+", said)) if key in known]
        rows.append((name, plain.splitlines()[0], "; ".join(str(known[key]) for key in cited)))
        for parameter in inspect.signature(call.si).parameters.values():
            if isinstance(parameter.default, Coefficient):
                coefficients[parameter.default.key] = parameter.default
    head = ("call", "computes", "source")
    lines = [quantities.coefficient_words(c, unit_system.chosen()) for c in coefficients.values()]
    title = f"Where the numbers of {spoken(trade)} come from ({len(rows)} calls)"
    markup = page.folded(title, page.table(head, rows))
    if lines:
        markup += page.folded(f"What is uncertain there, and how much ({len(lines)})", page.items(lines))
    return Piece(markup, "\n".join([page.plain_table(head, rows), *lines]))
