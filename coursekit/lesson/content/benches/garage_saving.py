"""The same film with usual and with less air: paint mixed, where it goes, and what it costs at your own price."""

from __future__ import annotations

from typing import Any, NamedTuple

from coursekit import film, garage
from coursekit.figure import first_holding
from coursekit.lesson.draw.drawing import Sketch
from coursekit.lesson.draw.garage import PLAN_HIGH, Waste, waste_in_plan
from coursekit.lesson.draw.picture import Shares, Slice
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.spraying import overspray

ENDS = tuple(0.3e-3 * 2**n for n in range(12))  # m³: the bars keep their scale until the next is needed


class PaintSaved(NamedTuple):
    sprayed: float  # m³
    left: float
    lost: float  # what missed and what was left, each once

    @property
    def mixed(self) -> float:
        return self.sprayed + self.left

    @property
    def landed(self) -> float:
        return self.mixed - self.lost

    @property
    def missed(self) -> float:
        return self.lost - self.left


GIVES = dict.fromkeys(("sprayed", "left", "lost", "mixed", "landed", "missed"), "paint_volume")


def way(area: float, dry_film: float, volume_solids: float, coats: float, lands: float, left: float) -> PaintSaved:
    sprayed = float(film.paint_needed.si(area, dry_film, volume_solids, lands, coats))
    account = overspray.budget.si(
        sprayed + left, volume_solids, lands, left_in_cup=left, left_in_strainer=0.0, left_in_wash=0.0
    )
    return PaintSaved(sprayed, left, float(account.paint_lost))


def item(one: PaintSaved, pack_size: float, pack_price: float) -> dict[str, Any]:
    """A line of the bill."""
    used, wasted, pack = (f"{volume * 1e6:.9g} mL" for volume in (one.landed, one.lost, pack_size))
    return {"what": "paint", "used": used, "wasted": wasted, "pack": pack, "price": pack_price}


@declare(
    "Less air, less waste: with and without",
    gives={"usual": GIVES, "saving": GIVES, "money": garage.savings},
    about="What lands on the panel is what the film needs. The rest you can make smaller. No price is known "
    "here: nothing is counted in money until you enter yours.",
    sources=["transfer_efficiency", "transfer-trials", "coverage-constant", "derived-here"],
    measurement="transfer",
)
def bench(
    area: float = at("1.2 m²"),
    dry_film: float = at("25 µm", label="dry film of one coat"),
    volume_solids: float = at("45 %", outfit=True, label="volume solids as sprayed"),
    coats: float = at("2", seldom=True),
    usual_lands: float = at(
        "55 %", name="transfer_efficiency", label="lands, as usual", measured="transfer_efficiency"
    ),
    saving_lands: float = at("68 %", name="transfer_efficiency", label="lands, with less air"),
    usual_left: float = at("30 mL", name="left_in_cup", label="left over, as usual"),
    saving_left: float = at("15 mL", name="left_in_cup", label="left over, mixed to measure"),
    pack_size: float = at("1000 mL", seldom=True),
    pack_price: float = at("0", seldom=True),
) -> dict[str, Any]:
    job = (area, dry_film, volume_solids, coats)
    usual, saving = way(*job, usual_lands, usual_left), way(*job, saving_lands, saving_left)
    money = None
    if pack_price > 0:
        money = garage.savings.si(*([item(one, pack_size, pack_price)] for one in (usual, saving)))
    return {"usual": usual, "saving": saving, "money": money}


@bench.says
def say(now: Now) -> str:
    less = now.usual.lost - now.saving.lost
    coats = "coat" if now.coats == 1 else "coats"
    words = (
        f"{now.coats} {coats} of {now.dry_film} on {now.area}: as usual mix {now.usual.mixed}, with the savings "
        f"{now.saving.mixed}. The film on the panel is the same; {abs(less)} {'less' if less >= 0 else 'more'} of it "
        "goes elsewhere. "
    )
    if now.money is None:
        return words + "Enter the price of your can, and what it holds, to see it in your currency."
    saved = now.money.saved
    return words + (
        f"At your price that is {abs(saved)} {'saved' if saved >= 0 else 'more'}, {now.money.saving} instead of "
        f"{now.money.usual}: for the paint mixed, not for whole cans."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    ways = (("as usual", now.usual), ("with the savings", now.saving))
    rows = [(f"{title}: mix {one.mixed}", slices(one)) for title, one in ways]
    most = max(now.usual.plain.mixed, now.saving.plain.mixed)
    longest = first_holding([*ENDS, most], most)
    plans = [
        Waste(
            title,
            one.plain.missed / longest,
            one.plain.left / max(now.usual.plain.left, now.saving.plain.left, 1e-12),
            (f"on the panel {one.landed:2}", f"dots: missed {one.missed:2}", f"left {one.left:2}"),
        )
        for title, one in ways
    ]
    return [Sketch(waste_in_plan(plans), height=PLAN_HIGH), Shares(rows, longest=now.usual.mixed.of(longest))]


def slices(one: Any) -> list[Slice]:
    return [
        Slice("on the panel", one.landed, hatch="slant"),
        Slice("missed", one.missed, hatch="cross"),
        Slice("left in cup and gun", one.left, hatch="back"),
    ]
