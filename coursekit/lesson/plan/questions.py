"""What is asked, in groups; what is often known first. An empty answer is "I don't know": then the usual is taken."""

from __future__ import annotations

from typing import NamedTuple

from coursekit.lesson.plan.draft import Draft
from coursekit.lesson.plan.entries import SHEETS, THERE, fields_of
from coursekit.nomenclature import KINDS, System, names
from coursekit.quantities import InputError, in_unit, read, shown
from coursekit.repair.fields import Field

SCRATCHED = ("clear", "base", "primer")  # where no depth is given, paint is hurt there and the sheet is not
CLOSE = 0.04  # share by which a usual number may be off the round one that is shown for it


class Asked(NamedTuple):
    """One question: the part of the form, its entry, and whether it is folded away."""

    part: str | int
    key: str
    folded: bool = False


def _all(part: str, *folded: str, but: tuple[str, ...] = ()) -> list[Asked]:
    return [Asked(part, key, key in folded or one.seldom) for key, one in fields_of(part).items() if key not in but]


_ROOM = ("length", "width", "height", "air_changes")
_PLACE = ("x", "y", "width", "height", "low", "down_to", "on_it")
GROUPS: dict[str, list[Asked]] = {
    "Damage": [
        Asked("panel", "shape"),
        *(Asked("damage", key) for key in _PLACE),
        *(Asked("damage", key, True) for key in fields_of("damage") if key not in _PLACE),
    ],
    "Panel": _all("panel", but=("shape",)),
    "Garage": _all("garage", *_ROOM) + _all("forecast"),
    "Stock": _all("stock") + [Asked("cup", key, True) for key in fields_of("cup")],
    "Gun": _all("gun"),
    "Hours": [*_all("hours"), *(Asked("start", key, True) for key in fields_of("start"))],
    "Hand": [Asked("wish", "hand"), *_all("hand", "variation"), *_all("measured", *fields_of("measured"))],
    "Prices": _all("price"),
    "Cans": [],  # the entries of the can that is picked
}
TINS = tuple(SHEETS)


def asked_in(group: str, tin: str) -> list[Asked]:
    """The questions of a group."""
    return GROUPS[group] or _all(tin)


WITHOUT = (("panel", "shape"), ("damage", THERE))  # choices that everybody knows


def usual(draft: Draft, part: str, key: str, system: System) -> str:
    """What is taken where nobody knows: in an empty field it stands in grey."""
    one = fields_of(part)[key]
    if part == "damage" and key in ("x", "y"):
        return "in the middle"
    text = draft.given[part].raw(key)
    if not text and part == "panel":
        return _of_shape(draft, key, system)
    if part == "damage" and key == "low" and draft.given["damage"].raw("down_to") in SCRATCHED:
        return text if key in draft.given["damage"].written else "none: a scratch"
    if not text:
        words = {
            "stock": "the usual things",
            "hours": "no hours" if draft.given["hours"].written else "any hour",
            "start": "not set",
            "price": "not given",
            "gun": "not measured",
        }
        return words.get(part, "not given")
    return about(one, text, system)


def about(one: Field, text: str, system: System) -> str:
    """A usual number as people say it: "250 mm", "about 10 in"."""
    if one.reads != "quantity" or not one.row or names()[one.row].kind not in KINDS:
        return text
    row = names()[one.row]
    try:
        value = float(read(text, one.row))
    except InputError:
        return text
    if system == "metric" or row.metric == row.us or row.kind == "temperature":
        return text if system == "metric" or row.metric == row.us else shown(value, one.row, system, 2)
    number = float(in_unit(value, one.row, system))
    plain = next((r for digits in (1, 2) if abs((r := float(f"{number:.{digits}g}")) - number) <= CLOSE * number), 0)
    return f"about {plain:g} {row.unit(system)}"


def _of_shape(draft: Draft, key: str, system: System) -> str:
    """What the panel of that kind has."""
    try:
        shape = draft.damage().shape
    except InputError:
        return "as usual"
    found = {"width": shape.size[0], "height": shape.size[1]}
    found |= {
        name: 1 / abs(bend) for name, bend in zip(("radius_along", "radius_up"), shape.crown, strict=True) if bend
    }
    lines = [float(line.points[0, 1]) for line in shape.lines if line.kind == "body line"]
    found |= {"line_height": lines[0]} if lines else {}
    row = fields_of("panel")[key].row
    return f"about {shown(found[key], row, system, 2)}" if key in found else "none"
