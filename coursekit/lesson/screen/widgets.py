"""Controls on the page: it hangs widgets on objects that work without them.

Sliders are linked by a plain `observe`: ipywidgets keeps one update in flight and merges later ones, so nothing
queues behind the hand. The work of a button is a method of the object shown, as a click swallows errors.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import ipywidgets as w

from coursekit.lesson.learner import unit_system
from coursekit.lesson.screen import page
from coursekit.lesson.screen.displayed import VIEWS


class View:
    """A box on the page whose plain text stands beside it in the output."""

    def __init_subclass__(cls, shows: type | None = None) -> None:
        """`class BenchView(View, shows=Bench)` is how a bench shows itself."""
        if shows is not None:
            VIEWS[shows] = cls

    def __init__(self, children: Sequence[w.Widget]) -> None:
        self.box = w.VBox(list(children))
        self.box.add_class("ck-bench")
        unit_system.follow(self)
        self.box.view = self  # lives as long as its widgets

    def refresh(self) -> None:
        """Write everything anew, after metric or US was chosen."""

    def text(self) -> str:
        return ""

    def markup(self) -> str:
        """For pages without widgets."""
        return page.paragraph(self.text())

    def __repr__(self) -> str:
        return self.text()

    def _repr_mimebundle_(self, **_: Any) -> dict[str, Any]:
        page.dress()
        return self.bundle()

    def bundle(self) -> dict[str, Any]:
        found: dict[str, Any] = self.box._repr_mimebundle_()
        return {**found, "text/plain": self.text(), "text/html": page.Piece(self.markup(), "").html}


def gone(view: View) -> None:
    """A view that leaves the page: it follows the choice of units no more, and all its widgets are closed."""
    unit_system.leave(view)
    for part in vars(view).values():
        if isinstance(part, w.Widget):
            closed(part)
        elif isinstance(part, Mapping):  # rows by their key: one may stand in no box just now
            closed(*(one for one in part.values() if isinstance(one, w.Widget)))


def closed(*widgets: w.Widget) -> None:
    """Close widgets with all that stands in them: ipywidgets holds each one until it is closed itself."""
    for widget in widgets:
        if widget.comm is None:
            continue  # closed already
        inside = [getattr(widget, name, None) for name in ("layout", "style")]
        widget.close()
        closed(*getattr(widget, "children", ()), *(one for one in inside if isinstance(one, w.Widget)))


def button(words: str, work: Callable[[], Any]) -> w.Button:
    made = w.Button(description=words)
    made.on_click(lambda _: work())
    return made


def control(words: str, *parts: w.Widget, meaning: str = "") -> w.Box:
    """A label before its control: wide enough not to be cut, its meaning shown when the pointer rests on it."""
    box = w.Box([w.HTML(label(words, meaning)), *parts])
    box.add_class("ck-control")
    return box


def label(words: str, meaning: str = "") -> page.Markup:
    """What stands before a control."""
    head, bracket, unit = words.rpartition(" (")
    if unit.endswith(")"):  # a unit of two words stays on one line
        words = head + bracket + unit.replace(" ", "\N{NO-BREAK SPACE}")
    return page.tag("span", words, class_="ck-label", title=meaning)
