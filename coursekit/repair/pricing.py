"""Prices that the learner enters, by the rows of the shopping list. None is known here."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, NamedTuple

from coursekit.errors import Entry, Where
from coursekit.nomenclature import load_data
from coursekit.quantities import InputError, read
from coursekit.repair.vocabulary import SPRAYED
from coursekit.repair.wares import PAPER, SOLD_BY, TAPE, Ware, paint, paper, pieces
from coursekit.sanding import read_grade
from coursekit.tomlfile import Document

_WARES = (
    paint("filler"),
    *(paint(one) for one in SPRAYED),
    *(paint(one, part) for one in SPRAYED for part in ("activator", "reducer")),
    *(pieces(one) for one in ("cloths", "wax-and-grease remover", "guide coat", "strainers", "mixing cups")),
    pieces("tack cloth"),
    *(pieces(f"{compound} compound") for compound in load_data("compounds")),
    TAPE,
)
WARES: Mapping[str, Ware] = {one.name: one for one in _WARES}  # what can have a price, by its name; and any paper
EXAMPLE = 'clear = "45 per 1 L", "paper P320" = "14 per 10 pieces"'
MOST_PRICES = 200
_PRICE = re.compile(r"(\d{1,9}(?:\.\d{1,6})?)\s*(?:/|per\b|(?=each\b))\s*(.{1,30})", re.ASCII)
_COUNT = re.compile(r"(\d{1,6})?\s*(?:each|pieces?|sheets?|discs?|cans?|tins?|bottles?|cloths?|cups?|strainers?)")
_SAMPLE = {"paint": "45 per 1 L", "length": "6 per 50 m", "paper": "14 per 10 pieces", "pieces": "14 per 10 pieces"}


class Price(NamedTuple):
    """What one pack costs, in the learner's money, and what is in it, SI."""

    money: float
    kind: str  # bought_volume, bought_mass, bought_length or bought_pieces
    pack: float


def read_prices(document: Document) -> dict[str, Price]:
    """The table `[price]`: row of the shopping list → "money per amount"."""
    given = document.data.get("price", {})
    where: Where = ("price",)
    if not isinstance(given, Mapping) or len(given) > MOST_PRICES:
        document.fail(
            where, "is not a table of prices.", f"Write rows of the shopping list so: {EXAMPLE}.", kind="other type"
        )
    return dict(_read(document, (*where, str(name)), str(name), value) for name, value in given.items())


def _read(document: Document, where: Where, name: str, value: Any) -> tuple[str, Price]:
    ware = _ware(document, where, name)
    sample = Entry(f'"{ware.name}"', f'"{_SAMPLE[ware.kind]}"')
    remedy = ("Write what a pack costs you and what is in it: ", sample, ".")
    match = _PRICE.fullmatch(value.strip()) if isinstance(value, str) else None
    if match is None:
        document.fail(where, "is not a price.", remedy, kind="unknown")
    amount = match[2].strip()
    counted = _COUNT.fullmatch(amount)
    if counted is not None:
        kind, pack = "bought_pieces", float(counted[1] or 1)
    else:
        kind, pack = _amount(amount if amount[0].isdigit() else f"1 {amount}")
    if kind not in SOLD_BY[ware.kind] or pack <= 0:
        document.fail(
            where,
            "names no amount that is known."
            if not kind
            else "is a price for nothing."
            if pack <= 0
            else "is no price for that row.",
            remedy,
            kind="form",
        )
    return ware.name, Price(float(match[1]), kind, pack)


def _ware(document: Document, where: Where, name: str) -> Ware:
    """What that row of the list is of; any paper that can be read is one."""
    if name.startswith(PAPER):
        try:
            return paper(read_grade(name.removeprefix(PAPER), name))
        except InputError as error:
            document.refuse(where, error)
    document.check_keys(where[:-1], {name: 0}, (*WARES, "paper P320"))
    return WARES[name]


def _amount(text: str) -> tuple[str, float]:
    for kind in ("bought_volume", "bought_mass", "bought_length"):
        try:
            return kind, float(read(text, kind))
        except InputError:
            continue
    return "", 0.0
