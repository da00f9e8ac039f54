"""What to buy for a repair, with a reserve, and what it costs at the learner's own prices."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, NamedTuple

import numpy as np

from coursekit.garage.cost import bill, savings
from coursekit.mixing.ratio import read_ratio
from coursekit.quantities import InputError
from coursekit.repair.entry import Entry, FillEntry, SprayEntry
from coursekit.repair.forecast import Weather
from coursekit.repair.lots import lots_words
from coursekit.repair.playing import Replay
from coursekit.repair.pricing import EXAMPLE
from coursekit.repair.recipe import Recipe
from coursekit.repair.sheet_gun import USUAL_AIR, computed, densities_of, missing, mix_ratio, own_gun
from coursekit.repair.steps import ByHand, Clean, GuideCoat, Mask, Spray, WithPaper
from coursekit.repair.wares import TAPE, Ware, paint, paper, pieces

RESERVE = 0.20  # over what the coats take (common practice)
PARTS = {
    "epoxy primer": ("epoxy primer", "activator", "reducer"),
    "surfacer": ("surfacer", "activator", "reducer"),
    "base": ("base", "reducer", "reducer"),
    "clear": ("clear", "activator", "reducer"),
}
NO_PRICE = (
    "No price is known here. Enter your own in the recipe, under [price], by the rows of this list: "
    f"{EXAMPLE}. The sheet then says what the repair costs and what of it is waste."
)


class Purchase(NamedTuple):
    """One row of the list: how much to buy with the reserve, of it on the car and wasted, and without the savings."""

    ware: Ware
    buy: float
    used: float
    wasted: float
    usually_wasted: float
    density: float = 0.0  # kg/m³, of what is sold by weight too
    note: str = ""

    @property
    def what(self) -> str:
        return self.ware.name


def part_names(recipe: Recipe, step: Spray) -> tuple[str, ...]:
    """What each part of a step's mix is called; a part that a step adds is reducer."""
    names = PARTS[step.material]
    own = len(read_ratio(recipe.materials[step.material]["ratio"]).parts)
    count = len(mix_ratio(recipe, step).parts)
    return tuple(names[n] if n < min(len(names), own) else "reducer" for n in range(count))


def rows(replay: Replay) -> tuple[Purchase, ...]:
    """The shopping list: paint part by part, papers, and what lies around it."""
    found: dict[str, Purchase] = {}
    for entry in replay:
        for row in _paint(replay, entry):
            old = found.get(row.what)
            if old is not None:
                row = row._replace(
                    buy=old.buy + row.buy,
                    used=old.used + row.used,
                    wasted=old.wasted + row.wasted,
                    usually_wasted=old.usually_wasted + row.usually_wasted,
                )
            found[row.what] = row
    return (*found.values(), *_papers(replay), *_around(replay))


def _paint(replay: Replay, entry: Entry) -> Iterator[Purchase]:
    recipe = replay.recipe
    if isinstance(entry, FillEntry):
        spread = entry.used.solids.laid
        reserve = spread * RESERVE
        yield Purchase(
            paint("filler"),
            spread + reserve,
            spread,
            0.0,
            reserve,
            recipe.materials["filler"]["densities"][0],
            f"with its hardener, mixed {lots_words(Weather(recipe), entry)}",
        )
    if not isinstance(entry, SprayEntry):
        return
    step = entry.step
    mixed, sprayed = entry.used.mixed, entry.used.sprayed
    landed = sprayed * entry.used.solids.landed
    usually = (sprayed * usual_air(replay, step) + step.left) * (1 + RESERVE)
    parts = zip(part_names(recipe, step), mix_ratio(recipe, step).shares, densities_of(recipe, step), strict=True)
    for name, share, density in parts:
        yield Purchase(
            paint(step.material, name),
            float(share) * mixed * (1 + RESERVE),
            float(share) * landed,
            float(share) * (mixed - landed),
            float(share) * (usually - landed),
            density,
        )


def usual_air(replay: Replay, step: Spray) -> float:
    """Paint that usual air takes for the same film, over what the step's own gun takes; 1 where no gun is given."""
    if missing(replay.recipe, step):
        return 1.0
    drawn = own_gun(replay.recipe, step)
    try:
        own, usual = (computed(replay, step, drawn, **air) for air in ({}, USUAL_AIR))
    except InputError:
        return 1.0
    return float(np.median(own.account.transfer_efficiency / usual.account.transfer_efficiency))


def _pieces(what: Ware | str, number: float, note: str = "") -> Purchase:
    return Purchase(pieces(what) if isinstance(what, str) else what, number, number, 0.0, 0.0, 0.0, note)


def _papers(replay: Replay) -> Iterator[Purchase]:
    steps = replay.recipe.steps
    by_hand = {str(step.paper) for step in steps if isinstance(step, ByHand)}
    grades = {str(step.paper): step.paper for step in steps if isinstance(step, WithPaper)}
    for name, count in replay.totals.papers.items():
        if name not in grades:
            yield _pieces(name, 1)  # a compound
        else:
            yield _pieces(
                paper(grades[name]),
                max(2, math.ceil(count)),
                ("cut for the block named below" if name in by_hand else "discs for the machine's pad")
                + "; change it when it cuts half as fast as fresh",
            )


def _around(replay: Replay) -> Iterator[Purchase]:
    steps = replay.recipe.steps
    if any(isinstance(step, Clean) for step in steps):
        wipes = sum(step.wipes for step in steps if isinstance(step, Clean))
        yield _pieces("wax-and-grease remover", 1, "a can")
        yield _pieces("cloths", 2 * wipes, "one wet, one dry for each wipe")
    if any(isinstance(step, GuideCoat) for step in steps):
        yield _pieces("guide coat", 1, "a can or pot, in a colour that stands out")
    open_areas = [step.open for step in steps if isinstance(step, Mask) and step.open is not None]
    if open_areas:
        around = sum(2 * (x1 - x0 + y1 - y0) for x0, x1, y0, y1 in open_areas)
        yield Purchase(
            TAPE,
            2 * around,
            2 * around,
            0.0,
            0.0,
            0.0,
            "twice around for a folded edge; paper and a sheet over the car besides",
        )
    mixes = sum(isinstance(step, Spray) for step in steps)
    if mixes:
        yield _pieces("mixing cups", mixes, "and sticks to stir")
        yield _pieces("strainers", mixes)
        yield _pieces("tack cloth", 1, "last wipe before colour")


# --- in words ----------------------------------------------------------------------------------------------


class Costs(NamedTuple):
    """The cost of a repair in words: a table of priced rows, and sentences."""

    table: tuple[tuple[str, str, str, str], ...]
    words: tuple[str, ...]


def costs(replay: Replay) -> Costs:
    """Used, wasted and wasted without the savings, at the learner's prices; without any, how to enter them."""
    priced = [row for row in rows(replay) if row.what in replay.recipe.prices]
    if not priced:
        return Costs((), (NO_PRICE,))
    here, usual, list_ = (
        [_item(replay.recipe, row, wasted) for row, wasted in zip(priced, kind, strict=True)]
        for kind in (
            [row.wasted for row in priced],
            [row.usually_wasted for row in priced],
            [row.buy - row.used for row in priced],
        )
    )
    now, without, packs = bill.si(here), bill.si(usual), bill.si(list_)
    table = [
        (a.what, f"{c.packs:.0f}", _money(a.used), _money(a.wasted), _money(b.wasted))
        for a, b, c in zip(now.lines, without.lines, packs.lines, strict=True)
    ]
    saved = savings.si(usual, here)
    unpriced = [row.what for row in rows(replay) if row.what not in replay.recipe.prices]
    words = [
        f"Whole packs with the reserve come to {_money(packs.to_buy)} in your currency. The repair uses "
        f"{_money(now.used)} of it and wastes {_money(now.wasted)}; without the savings it would waste "
        f"{_money(without.wasted)}, {_money(abs(saved.saved))} {'more' if saved.saved >= 0 else 'less'}.",
        *_savings_words(replay),
    ]
    if unpriced:
        words.append(f"Without a price, and left out: {', '.join(unpriced)}.")
    return Costs(tuple(table), tuple(words))  # type: ignore[arg-type]


def _savings_words(replay: Replay) -> Iterator[str]:
    yield (
        f"The savings: only what the plan says is mixed, and the reserve of {RESERVE:.0%} stays in its can. "
        "Without them it is mixed too, and thrown away."
    )
    ratios = [
        (entry.step.number, usual_air(replay, entry.step))
        for entry in replay
        if isinstance(entry, SprayEntry) and not missing(replay.recipe, entry.step)
    ]
    if ratios:
        told = ", ".join(f"{ratio:.2f} times in step {number}" for number, ratio in ratios)
        yield (
            "And the gun as it is set here against usual air (2 bar, 29 psi, fan and trigger full). Usual air takes "
            f"more paint for the same film, about {told} (computed, the best estimate of a wide band)."
        )
    else:
        yield "What less air saves is told when [gun] says how the gun is set."


def _item(recipe: Recipe, row: Purchase, wasted: float) -> dict[str, Any]:
    """A line of the bill; what is sold by weight is reckoned from its volume."""
    price = recipe.prices[row.what]
    unit, scale = {
        "bought_volume": ("mL", 1e6),
        "bought_mass": ("g", 1e3),
        "bought_length": ("m", 1.0),
        "bought_pieces": ("", 1.0),
    }[price.kind]
    weight = row.density if price.kind == "bought_mass" else 1.0
    used, lost, pack = (
        f"{amount * scale:.9f} {unit}".strip()
        for amount in (row.used * weight, max(wasted, 0.0) * weight, price.pack)
    )
    return {"what": row.what, "used": used, "wasted": lost, "pack": pack, "price": price.money}


def _money(value: float) -> str:
    return f"{value:.2f}"
