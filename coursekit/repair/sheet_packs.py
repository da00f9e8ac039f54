"""The shopping list as a shop fills it: whole sheets and discs, cans, rolls, and the parts of the worker's outfit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from coursekit.figure import Figure
from coursekit.nomenclature import System, load_data, number_of
from coursekit.repair.entry import Entry, FillEntry, SandEntry, SprayEntry
from coursekit.repair.hardeners import hardener_of
from coursekit.repair.playing import Replay
from coursekit.repair.sheet_shopping import Purchase, part_names, rows
from coursekit.repair.steps import Clean, MachineSand, Polish, Spray, WithPaper
from coursekit.repair.vocabulary import tools
from coursekit.repair.wares import Ware, paper
from coursekit.sanding import Grade

if TYPE_CHECKING:
    from coursekit.repair.damage import Stock

LONG = 0.3  # m: what is longer takes strips, not pieces of a sheet


class Buy(NamedTuple):
    """One line: what, how many of which pack, what the repair needs of it, a note, and whether it is there.

    ware  what the repair uses up; none for what is kept and the worker's outfit
    tool  what is kept, as a stock names it
    """

    what: str
    packs: int
    pack: str
    need: str
    note: str = ""
    there: bool = False
    ware: Ware | None = None
    tool: str = ""

    @property
    def words(self) -> str:
        """ "2 × 500 mL", "3 × sheet" """
        if self.there:
            return "have it"
        if not self.packs:
            return "not from this list"
        return f"{self.packs} × {self.pack}" if self.pack else f"{self.packs}"


HEAD = ("what", "for the whole repair", "to buy with what you have", "the repair needs", "note")


def shopping(replay: Replay, stock: Stock, system: System = "metric") -> list[tuple[str, ...]]:
    """The list in two readings, under `HEAD`: for the whole repair, and what is left to buy with a stock."""
    readings = zip(to_buy(replay, None, system), to_buy(replay, stock, system), strict=True)
    return [(whole.what, whole.words, left.words, whole.need, whole.note) for whole, left in readings]


def to_buy(replay: Replay, stock: Stock | None = None, system: System = "metric") -> tuple[Buy, ...]:
    """What a shop has to give, in whole packs; with a stock, what is there is marked and not bought.

    The smallest pack that is enough, else as many of the largest as it takes. A price in the recipe names the pack.
    """
    found = [
        *_papers(replay, system),
        *_rest(replay, system),
        *_held(replay, system),
        *_kit(replay, system),
        *_worker(replay, system),
    ]
    return tuple(one._replace(there=stock is not None and _there(stock, one)) for one in found)


def _there(stock: Stock, one: Buy) -> bool:
    return one.tool in (stock.tools or ()) if one.ware is None else _has(stock, one.ware)


def _has(stock: Stock, ware: Ware) -> bool:
    """Whether it is there: a paper, or a material with all that goes in its mix."""
    return ware.grade in (stock.papers or ()) if ware.kind == "paper" else ware.material in (stock.materials or ())


def _least(need: float, packs: Sequence[float]) -> tuple[int, float]:
    """How many of which pack: the smallest that is enough, else the largest."""
    enough = [pack for pack in packs if pack >= need - 1e-12]
    if enough:
        return 1, min(enough)
    return math.ceil(need / max(packs) - 1e-9), max(packs)


def _whole(need: float, packs: Sequence[float]) -> tuple[int, float]:
    """Single pieces where they are sold singly, else the least pack."""
    if min(packs) == 1:
        return math.ceil(need - 1e-9), 1.0
    return _least(need, packs)


def _papers(replay: Replay, system: System) -> Iterator[Buy]:
    """Paper by grade and by what it is cut for: each step begins with fresh paper and changes it when it is blunt."""
    kinds = load_data("packs")
    needed: dict[tuple[Grade, str, int], int] = {}
    for entry in replay:
        if not (isinstance(entry, SandEntry) and isinstance(entry.step, WithPaper) and entry.pieces):
            continue
        tool = entry.step.holds(replay.recipe)
        kind = "disc" if isinstance(entry.step, MachineSand) else "strip" if tool.length > LONG else "sheet"
        if kind == "sheet":
            key = entry.step.paper, kind, _cut(kinds[kind], tool.length, tool.width)
        else:
            key = entry.step.paper, kind, 1
        needed[key] = needed.get(key, 0) + entry.pieces
    sheets: dict[tuple[Grade, str], tuple[float, int]] = {}
    for (grade, kind, each), pieces in needed.items():
        old = sheets.get((grade, kind), (0.0, 0))
        sheets[grade, kind] = old[0] + pieces / each, old[1] + pieces
    for (grade, kind), (whole, pieces) in sheets.items():
        row = kinds[kind]
        count, pack = _whole(whole, row["packs"])
        unit = row["unit"]
        told = unit if pack == 1 else f"box of {pack:.0f} {unit}s"
        ware = paper(grade)
        name = ware.name if kind == "sheet" else f"{ware.name}, {unit}s"
        need = f"{pieces} piece{'s' * (pieces > 1)}"
        yield Buy(name, count, told, need, _told(row, "what", system), ware=ware)


def _cut(sheet: Mapping[str, Any], length: float, width: float) -> int:
    """Pieces that a sheet gives, its sides laid the better way; at least one."""
    ways = [
        math.floor(sheet["length"] / a + 1e-9) * math.floor(sheet["width"] / b + 1e-9)
        for a, b in ((length, width), (width, length))
    ]
    return int(max(*ways, 1))


def _rest(replay: Replay, system: System) -> Iterator[Buy]:
    kinds, prices = load_data("packs"), replay.recipe.prices
    for row in rows(replay):
        ware = row.ware
        if ware.kind == "paper":
            continue
        price = prices.get(ware.name)
        if price is not None and price.kind == row.ware.counted_by:
            count = math.ceil(row.buy / price.pack - 1e-9)
            told = _amount(price.pack, row.ware.counted_by, system)
        elif ware.kind == "paint":
            count, told = _sold(row.buy, kinds, "volume", ware.part, system)
        elif ware.kind == "length":
            count, told = _sold(row.buy, kinds, "length", ware.part, system)
            told = f"roll of {told}"
        else:
            count, pack = _whole(row.buy, kinds["pieces"].get(ware.part, [1]))
            told = "" if pack == 1 else f"pack of {pack:.0f}"
        yield Buy(ware.name, count, told, _need(row, system), row.note, ware=ware)


def _sold(need: float, kinds: Mapping[str, Any], what: str, part: str, system: System) -> tuple[int, str]:
    """How many of which pack, called as shops call it: "500 mL", "quart"."""
    packs = {number_of(one): one for one in kinds[what if system == "metric" else f"{what}_us"][part]}
    count, size = _least(need, [*packs])
    return count, packs[size].removeprefix("1 ") if system == "us" else packs[size]


def _held(replay: Replay, system: System) -> Iterator[Buy]:
    """The blocks and pads that the steps are done with."""
    steps: dict[str, list[str]] = {}
    for entry in replay:
        if isinstance(entry, SandEntry):
            steps.setdefault(entry.step.tool, []).append(str(entry.step.number))
    for name, numbers in steps.items():
        row = tools()[name]
        sides = [f"{Figure(row[side], 'block_side', system):2}" for side in ("length", "width")]
        size = f"{sides[0]} across" if row.get("disc") else " by ".join(sides)
        need = f"step{'s' * (len(numbers) > 1)} {', '.join(numbers)}"
        yield Buy(f"{name}, {size}", 1, "", need, "", tool=name)


def _kit(replay: Replay, system: System) -> Iterator[Buy]:
    """What else the work is done with."""
    asked: dict[str, list[Entry]] = {
        "spray": [entry for entry in replay if isinstance(entry, SprayEntry)],
        "fill": [entry for entry in replay if isinstance(entry, FillEntry)],
        "sand": [entry for entry in replay if isinstance(entry, SandEntry)],
        "machine": [entry for entry in replay if isinstance(entry.step, MachineSand)],
        "polish": [entry for entry in replay if isinstance(entry.step, Polish)],
    }
    asked["mix"] = [*asked["spray"], *asked["fill"]]
    for name, row in load_data("packs")["kit"].items():
        if number := len(asked[row["asked"]]):
            need = f"{number} step{'s' * (number > 1)}"
            yield Buy(_told(row, "what", system), 1, "", need, _told(row, "why", system), tool=name)


def _need(row: Purchase, system: System) -> str:
    return (
        _amount(row.buy, row.ware.counted_by, system) if row.ware.counted_by != "bought_pieces" else f"{row.buy:.0f}"
    )


def _amount(amount: float, kind: str, system: System) -> str:
    if kind == "bought_pieces":
        return f"{amount:.0f}"
    return f"{Figure(amount, 'paint_volume' if kind == 'bought_volume' else 'room_side', system):{2 + (amount < 1)}}"


def _worker(replay: Replay, system: System) -> Iterator[Buy]:
    outfit = load_data("packs")["worker"]
    wipes = sum(entry.step.wipes for entry in replay if isinstance(entry.step, Clean))
    mixes = sum(isinstance(entry, (SprayEntry, FillEntry)) for entry in replay)
    dust = any(isinstance(entry, SandEntry) for entry in replay)
    asked = {
        "mask": int(dust or wipes + mixes > 0),
        "dust": int(dust),
        "solvent": int(wipes + mixes > 0),
        "spray": _two_part(replay),
        "eyes": int(dust or mixes > 0),
        "coverall": int(dust or mixes > 0),
        "ears": int(any(isinstance(entry.step, (Spray, MachineSand, Polish)) for entry in replay)),
        "gloves": wipes + mixes,
    }
    for name, times in asked.items():
        if not times:
            continue
        row = outfit[name]
        what, why = _told(row, "what", system), _told(row, "why", system)
        if not row["packs"]:
            yield Buy(what, 0, "", f"{times} step{'s' * (times > 1)}", why)
            continue
        need = times * row.get("each", 1)
        count, pack = _whole(need, row["packs"])
        yield Buy(what, count, "" if pack == 1 else f"box of {pack:.0f}", str(need), why)


def _two_part(replay: Replay) -> int:
    """How many steps spray what has a hardener, named or feared."""
    recipe = replay.recipe
    return sum(
        "activator" in part_names(recipe, entry.step) or hardener_of(recipe, entry.step.material).isocyanate
        for entry in replay
        if isinstance(entry, SprayEntry)
    )


def _told(row: Mapping[str, Any], key: str, system: System) -> str:
    """What a row says, in US words where it has its own."""
    return str(row.get(f"{key}_{system}", row[key]))
