"""One key of a recipe: how it is read, and what the form or file calls it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from coursekit.nomenclature import names

Reads = Literal["quantity", "choice", "area", "grade", "block", "whole", "text", "densities", "clock"]
Range = tuple[float, float, float]  # from, to, step of a slider


@dataclass(frozen=True)
class Field:
    """How a key is read, the row of the nomenclature or the choices, its default text, and its words.

    default  None: it has to be given; "": it may be left out, and is None then
    label    what a form calls it; else its row says
    meaning  what it is, for who rests on it; else its row says
    first    what a new step says where there is no default
    seldom   most plans leave it as it is: asked for under "More settings"
    by, usual  another entry, and the default that goes with each of its choices
    dragged  offered where a played repair is dragged; `slider` is metric and US, where the row's does not fit
    """

    reads: Reads
    of: str | tuple[str, ...] = ""
    default: Any = None
    label: str = ""
    meaning: str = ""
    first: str = ""
    seldom: bool = False
    dragged: bool = False
    slider: tuple[Range, Range] | None = None
    by: str = ""
    usual: tuple[tuple[str, Any], ...] = ()

    def left_out(self, chosen: Any) -> Any:
        """Its default, beside what was chosen for the entry it goes `by`."""
        return dict(self.usual).get(str(chosen), self.default)

    def __str__(self) -> str:
        return self.of if isinstance(self.of, str) else " / ".join(self.of)

    @property
    def row(self) -> str:
        """The row of the nomenclature; empty for what has none."""
        return self.of if isinstance(self.of, str) else ""

    @property
    def words(self) -> str:
        """What a form calls it."""
        return self.label or names()[self.row].label

    @property
    def told(self) -> str:
        """What it means."""
        return self.meaning or (names()[self.row].meaning if self.row in names() else "")


def quantity(row: str, default: Any = None, **said: Any) -> Field:
    return Field("quantity", row, default, **said)


def whole(row: str, default: int, **said: Any) -> Field:
    return Field("whole", row, default, **said)


def choice(options: tuple[str, ...], default: str | None = None, **said: Any) -> Field:
    return Field("choice", options, default, **said)


def where(default: str = "all", **said: Any) -> Field:
    return Field("area", "", default, **said)
