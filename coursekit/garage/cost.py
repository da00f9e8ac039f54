"""What a repair uses and wastes in money, with the prices the learner enters. None is known here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np

from coursekit.quantities import InputError, Value, public, read

KEYS = ("what", "used", "wasted", "pack", "price")
EXAMPLE = 'Write {"what": "clear", "used": "300 mL", "wasted": "60 mL", "pack": "1 L", "price": 45}.'
MOST_ITEMS = 1000
_AMOUNTS = ("bought_volume", "bought_mass", "bought_area", "bought_length", "bought_pieces")


class BillLine(NamedTuple):
    """One item: what the used part and the wasted part cost (None without a price), and packs to buy."""

    what: str
    used: Value
    wasted: Value
    packs: int


class Bill(NamedTuple):
    """Money used, wasted and together, what whole packs come to, the lines, and items with no price yet."""

    used: Value
    wasted: Value
    total: Value
    to_buy: Value
    lines: tuple[BillLine, ...]
    unpriced: tuple[str, ...]


@public(gives={"used": "money", "wasted": "money", "total": "money", "to_buy": "money"})
def bill(items: object) -> Bill:
    """Cost of what is used and wasted, and of the packs to buy.

    items: a list of {"what", "used", "wasted", "pack", "price"}; amounts with units, all of an item alike; wasted
        may be left out; price is for one pack, in your currency, and None when you have none yet
    Gives Bill, in your currency. Raises InputError naming the item and what is wrong with it.
    Holds for the prices you enter: an item without one is listed and left out of the sums. Source: derived-here.
    """
    return _bill(items, "items")


class Saving(NamedTuple):
    """The bill as usual, the bill with savings, and the difference of the totals."""

    usual: Value
    saving: Value
    saved: Value


@public(gives={"usual": "money", "saving": "money", "saved": "money"})
def savings(usual: object, saving: object) -> Saving:
    """What the savings of the course come to.

    Gives Saving; a negative `saved` says that it costs more. Raises InputError as `bill`, and for missing prices.
    Holds for the prices you enter. Source: derived-here.
    """
    before, after = _bill(usual, "usual"), _bill(saving, "saving")
    for argument, of in (("usual", before), ("saving", after)):
        if of.unpriced:
            raise InputError(
                argument,
                f"has no price for {', '.join(of.unpriced)}.",
                "Enter what a pack costs you.",
                kind="missing",
            )
    return Saving(before.total, after.total, before.total - after.total)


def _bill(items: object, argument: str) -> Bill:
    if not isinstance(items, (list, tuple)) or not 0 < len(items) <= MOST_ITEMS:
        raise InputError(argument, "is not a list of items.", f"Give a list. {EXAMPLE}", kind="other type")
    lines, unpriced, to_buy = [], [], 0.0
    for number, item in enumerate(items, 1):
        line, cost = _line(item, f"{argument}, item {number}")
        lines.append(line)
        if cost is None:
            unpriced.append(line.what)
        else:
            to_buy += cost
    used, wasted = (sum(getattr(line, part) or 0.0 for line in lines) for part in ("used", "wasted"))
    return Bill(used, wasted, used + wasted, to_buy, tuple(lines), tuple(unpriced))


def _line(item: object, where: str) -> tuple[BillLine, float | None]:
    if not isinstance(item, Mapping):
        raise InputError(where, "is not an item.", EXAMPLE, kind="form")
    unknown = [str(key)[:40] for key in item if key not in KEYS]
    missing = [key for key in ("what", "used", "pack") if key not in item]
    if unknown or missing:
        problem = f'has no "{missing[0]}".' if missing else f'has "{unknown[0]}", which is not known.'
        raise InputError(where, problem, EXAMPLE, kind="missing" if missing else "unknown key")
    what = item["what"]
    if not isinstance(what, str) or not what.strip() or len(what) > 80:
        raise InputError(where, 'has a "what" that is not a short name.', EXAMPLE, kind="form")
    kind, pack = _amount(item["pack"], f"{where}, pack")
    if pack <= 0:
        raise InputError(f"{where}, pack", "holds nothing.", EXAMPLE, kind="empty")
    used, wasted = (
        float(
            _one(
                read(item.get(key, "0" if kind == "bought_pieces" else item["pack"]), kind, f"{where}, {key}"),
                f"{where}, {key}",
            )
        )
        if key in item
        else 0.0
        for key in ("used", "wasted")
    )
    packs = int(np.ceil((used + wasted) / pack - 1e-9))
    price = item.get("price")
    if price is None:
        return BillLine(what.strip(), None, None, packs), None
    money = float(_one(read(price, "money", f"{where}, price"), f"{where}, price"))
    return BillLine(what.strip(), money * used / pack, money * wasted / pack, packs), money * packs


def _amount(value: object, where: str) -> tuple[str, float]:
    """Which kind of amount a pack is, and how much."""
    for kind in _AMOUNTS:
        try:
            return kind, float(_one(read(value, kind, where), where))
        except InputError as error:
            if type(error) is not InputError:
                raise
    raise InputError(
        where, "is not a volume, a mass, an area, a length or a number of pieces.", EXAMPLE, kind="other quantity"
    )


def _one(value: Any, where: str) -> Any:
    if np.ndim(value):
        raise InputError(where, "is a list.", "Give one value.", kind="list")
    return value
