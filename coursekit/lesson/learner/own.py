"""What belongs to the learner: their measurements in the benches, their seed, and the entry of a measurement."""

from __future__ import annotations

import contextlib
import contextvars
import functools
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Concatenate, ParamSpec, TypeVar

from coursekit import belief, folder, measured, outfit, quantities
from coursekit.folder import place
from coursekit.garage_entry import MadeWith, belongs
from coursekit.keeping import read_text
from coursekit.lesson.learner import unit_system
from coursekit.quantities import InputError
from coursekit.spraying.choose import gun_coefficients
from coursekit.spraying.setting import spray_setting
from coursekit.uncertain import Coefficient

_LOADED: dict[str, tuple[Any, Any]] = {}  # copies of the learner's files in memory, nothing more


P = ParamSpec("P")
T = TypeVar("T")
_NOBODYS = contextvars.ContextVar("nobody's", default=False)  # each thread and each task has its own


@contextlib.contextmanager
def as_shipped() -> Iterator[None]:
    """What is made under it knows nobody's measurements and nobody's gun: so are pages that others read."""
    token = _NOBODYS.set(True)
    try:
        yield
    finally:
        _NOBODYS.reset(token)


def whose(method: Callable[Concatenate[Any, P], T]) -> Callable[Concatenate[Any, P], T]:
    """Put above a method of what is either the learner's or, `shipped`, on a page that others read."""

    @functools.wraps(method)
    def asked(self: Any, /, *args: P.args, **given: P.kwargs) -> T:
        with as_shipped() if self.shipped else contextlib.nullcontext():
            return method(self, *args, **given)

    return asked


def _loaded(name: str, load: Callable[[Path], Any], empty: Any, also: Any = None) -> Any:
    """A file of the learner's, read again only when it has changed: a slider asks at each move."""
    if _NOBODYS.get():
        return empty
    try:
        path = place() / name
    except InputError:  # the first cell says so
        return empty
    stamp = path, folder.stamp(path), also
    if name not in _LOADED or _LOADED[name][0] != stamp:
        _LOADED[name] = (stamp, load(path))
    return _LOADED[name][1]


def my_outfit() -> outfit.Outfit:
    """The learner's guns, paints, hands and panels; those of the demo until some are written down."""
    found: outfit.Outfit = _loaded(outfit.FILE, outfit.load, outfit.Outfit())
    return found


def made_with() -> MadeWith:
    """The chosen gun and paint, to which a measurement belongs that is kept now."""
    mine = my_outfit()
    return MadeWith.of(mine.gun, mine.paint, (mine.is_own("gun"), mine.is_own("paint")))


def garage_file() -> measured.Measured:
    """The learner's measurements, each for what it says of the chosen gun and paint."""
    mine = my_outfit()
    empty = measured.Measured(Path(measured.FILE))
    found: measured.Measured = _loaded(
        measured.FILE, lambda path: measured.load(path).with_(made_with()), empty, mine
    )
    return found


def coefficient(key: str) -> Coefficient:
    """A coefficient: the learner's own measurement, or the one of the course."""
    return garage_file().coefficient(key)


def band_si(call: Any, *, draws: int | None = None, **si: Any) -> Any:
    """A public call's band for a bench: arguments in SI, over the learner's own belief."""
    known: dict[str, Any] = {**garage_file().using(call), **si}
    return belief.band_si(call, draws=draws, belief=garage_file().belief, **known)


def gun() -> dict[str, Coefficient]:
    """The uncertain numbers of `spray_setting` as the learner's measurements leave them."""
    return gun_coefficients(garage_file().using(spray_setting))


def gun_rows() -> list[dict[str, Any]]:
    """What was measured of the chosen gun, as rows that a recipe carries along."""
    file, name = garage_file(), my_outfit().gun.name
    try:
        rows = tomllib.loads(read_text(file.path)).get("measurement", [])
    except FileNotFoundError:
        return []
    found = [
        row
        for row, entry in zip(rows, file.entries, strict=True)
        if set(entry.way.gives) & set(belongs()) and entry.made_with.gun in ("", name)
    ]
    return [{**row, "date": row["date"].isoformat()} for row in found]


def is_measured(key: str) -> bool:
    """Whether the learner measured it."""
    return key in garage_file().keys


def measured_words(key: str) -> str:
    """A reminder of what the learner measured, for a bench whose slider stands for it; empty before that."""
    if not is_measured(key):
        return ""
    return f" Yours, measured: {shown_band(coefficient(key))}; set the slider there."


def shown_band(mine: Coefficient) -> str:
    """A coefficient with its band, in the units shown."""
    system = unit_system.chosen()
    band = quantities.shown_band(mine.low, mine.high, mine.name, system, 3)
    return f"{quantities.shown(float(mine), mine.name, system)} ({band})"
