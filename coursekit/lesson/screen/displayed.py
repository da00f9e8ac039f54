"""What shows itself on the page: which view hangs on which model is kept here, so that no model knows its view."""

from __future__ import annotations

from typing import Any, Protocol

from coursekit.lesson.screen.page import dress


class Shows(Protocol):
    """A view of a model."""

    def bundle(self) -> dict[str, Any]: ...


VIEWS: dict[type, Any] = {}  # model → its view; filled as the classes of views are made


class Displayed:
    """Inherited by a model that a cell may end in: the page shows the view that was declared for its class."""

    def _repr_mimebundle_(self, **_: Any) -> dict[str, Any]:
        dress()
        return view_of(self).bundle()


def view_of(model: Displayed) -> Shows:
    """A new view of a model; that of the class it inherits from where it has none of its own."""
    found: Shows = next(VIEWS[kind] for kind in type(model).__mro__ if kind in VIEWS)(model)
    return found
