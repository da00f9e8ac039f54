"""What every step of a repair is: its entries, what it does to the panel, what it brings, what may come before it."""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any, ClassVar, NamedTuple, TypeVar

from coursekit.errors import Entry, Words
from coursekit.nomenclature import System
from coursekit.panel import Panel, Used, wait
from coursekit.repair.fields import Field, quantity
from coursekit.repair.given import Given, Place
from coursekit.repair.solvent import half_time

WAIT = Entry("do", '"wait"')
WAIT_FIRST = ("Put a step ", WAIT, " before it.")
_SEEDS = 1009  # a prime: seeds of one hand's steps never meet those of the next hand's within a recipe
_ENTRY = "entry"
U = TypeVar("U", bound=Used)


def entry(said: Field) -> Any:
    """A field of a step that a recipe writes as this entry."""
    return field(metadata={_ENTRY: said})


class Before(NamedTuple):
    """What the steps before leave, as far as it is known before anything is computed.

    bare    what the sheet is called where nothing is on it
    top     the material that lies on top
    wet     the material that is not hard yet, and the planned time since it was laid (s)
    """

    bare: str
    top: str
    wet: str = ""
    dried: float = 0.0
    masked: bool = False


class Refused(NamedTuple):
    """Why a step cannot be: the entry it lies in, the problem and the remedy."""

    key: str
    problem: str
    remedy: Words


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step: its settings in SI as attributes, and the line on which it stands.

    do        what a recipe calls it
    with_     the entry that says with what it is done; `words` name it
    quick     done while a film goes on hardening
    cautions  topics of the cautions that it asks for
    """

    do: ClassVar[str] = ""
    with_: ClassVar[str] = ""
    quick: ClassVar[bool] = False
    cautions: ClassVar[tuple[str, ...]] = ()

    number: int
    line: int
    written: Mapping[str, Any] = field(compare=False)

    @classmethod
    def entries(cls) -> Mapping[str, Field]:
        """What a recipe may write of it, in the order in which a form asks: its own entries, then those it shares."""
        return _entries(cls)  # type: ignore[arg-type]  # a class can be hashed

    @property
    def settings(self) -> dict[str, Any]:
        """All its entries in SI."""
        return {key: getattr(self, key) for key in self.entries()}

    @property
    def reaches(self) -> Place | None:
        """The part of the panel that it works on; None: all of it."""
        return getattr(self, "area", None)

    @property
    def words(self) -> str:
        """What is done, in a few words: "spray surfacer", "block P320"."""
        return f"{self.do} {getattr(self, self.with_)}" if self.with_ else self.do

    @classmethod
    def title(cls, raw: Callable[[str], str]) -> str:
        """The same from what stands in a form, whether it can be read or not."""
        return f"{cls.do} {raw(cls.with_) if cls.with_ else ''}".strip()

    # --- on the panel ---

    def act(self, panel: Panel, given: Given, finer: float = 1.0) -> tuple[Panel, Used]:
        """The panel after it, and what it used; `finer` is that of sanding."""
        raise NotImplementedError

    @property
    def brings(self) -> str:
        """The material that it brings; empty when it brings none."""
        return ""

    def chance(self, given: Given) -> int | None:
        """The seed that its outcome depends on besides its settings, when it does."""
        return int(given.hand["seed"]) if given.hand["variation"] else None

    def seed(self, given: Given) -> int:
        """The seed of this step's luck."""
        return int(given.hand["seed"]) * _SEEDS + self.number

    # --- its place in a recipe ---

    def misplaced(self) -> Refused | None:
        """Why it cannot be where its areas say."""
        return None

    def refused(self, before: Before, given: Given) -> Refused | None:
        """Why it cannot follow the steps before it."""
        return None

    def leaves(self, before: Before) -> Before:
        """What is known after it."""
        return before

    # --- in words ---

    def look_for(self, system: System) -> Iterator[str]:
        """What to look for when it is done, where that does not depend on what the panel became."""
        yield from ()


@functools.cache
def _entries(kind: type[Step]) -> Mapping[str, Field]:
    known = {one.name: one.metadata[_ENTRY] for one in fields(kind) if _ENTRY in one.metadata}
    order = dict.fromkeys(key for one in kind.__mro__ for key in inspect.get_annotations(one) if key in known)
    return {key: known[key] for key in order}


def lasting(default: str | None, **said: Any) -> Any:
    """The entry of how long a step takes."""
    return entry(quantity("step_time", default, label="how long", **said))


@dataclass(frozen=True, kw_only=True)
class Timed(Step):
    """A step that takes the time it is given, in which the wet films go on drying."""

    time: float = lasting("10 min", meaning="how long the step takes")

    def leaves(self, before: Before) -> Before:
        return before._replace(dried=before.dried + self.time)

    def while_drying(
        self, panel: Panel, given: Given, call: Callable[..., tuple[Panel, U]], **settings: Any
    ) -> tuple[Panel, U]:
        """An act of the panel that lasts as long as this step."""
        dried, waited = wait(panel, time=self.time, solvent_half_time=half_time(given.garage["temperature"]))
        done, used = call(dried, time=0.0, **settings)
        return done, replace(used, time=waited.time or self.time, solvent=waited.solvent)
