"""The same film with usual and with less air: paint mixed, where it goes, and what it costs at your own price."""

from __future__ import annotations

from typing import Any, NamedTuple

from coursekit import film, garage
from coursekit.lesson.draw.charts import Slice, shares
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.spraying import overspray

ENDS = tuple(0.3e-3 * 2**n for n in range(12))  # m³: the bars keep their scale until the next is needed


class Way(NamedTuple):
    sprayed: float  # m³
    left: float
    lost: float  # what missed and what was left, each once

    @property
    def mixed(self) -> float:
        return self.sprayed + self.left

    @property
    def landed(self) -> float:
        return self.mixed - self.lost


class Found(NamedTuple):
    usual: Way
    saving: Way
    money: garage.Saving | None


def way(area: float, dry_film: float, volume_solids: float, coats: float, lands: float, left: float) -> Way:
    sprayed = float(film.paint_needed.si(area, dry_film, volume_solids, lands, coats))
    account = overspray.budget.si(
        sprayed + left, volume_solids, lands, left_in_cup=left, left_in_strainer=0.0, left_in_wash=0.0
    )
    return Way(sprayed, left, float(account.paint_lost))


def compute(
    area: float,
    dry_film: float,
    volume_solids: float,
    coats: float,
    usual_lands: float,
    saving_lands: float,
    usual_left: float,
    saving_left: float,
    pack_size: float,
    pack_price: float,
) -> Found:
    job = (area, dry_film, volume_solids, coats)
    usual, saving = way(*job, usual_lands, usual_left), way(*job, saving_lands, saving_left)
    money = None
    if pack_price > 0:
        money = garage.savings.si(*([item(one, pack_size, pack_price)] for one in (usual, saving)))
    return Found(usual, saving, money)


def item(one: Way, pack_size: float, pack_price: float) -> dict[str, Any]:
    """A line of the bill."""
    used, wasted, pack = (f"{volume * 1e6:.9g} mL" for volume in (one.landed, one.lost, pack_size))
    return {"what": "paint", "used": used, "wasted": wasted, "pack": pack, "price": pack_price}


def draw(now: Now) -> str:
    rows = [("as usual", now.result.usual), ("with the savings", now.result.saving)]
    if now.kept:
        rows.append(("kept, with the savings", now.kept.result.saving))
    most = max(one.mixed for _, one in rows)
    longest = now.number(next((end for end in ENDS if end >= most), most), "paint_volume")
    return shares(
        [(f"{title}: mix {now.show(one.mixed, 'paint_volume')}", slices(now, one)) for title, one in rows],
        width=700,
        longest=longest,
    )


def slices(now: Now, one: Way) -> list[Slice]:
    missed = one.lost - one.left
    return [
        Slice(label, now.number(size, "paint_volume"), now.show(size, "paint_volume"), hatch)
        for label, size, hatch in (
            ("on the panel", one.landed, "slant"),
            ("missed", missed, "cross"),
            ("left in cup and gun", one.left, "back"),
        )
    ]


def say(now: Now) -> str:
    found: Found = now.result
    less = found.usual.lost - found.saving.lost
    words = (
        f"{now.text('coats')} coats of {now.text('dry_film')} on {now.text('area')}: as usual mix "
        f"{now.show(found.usual.mixed, 'paint_volume')}, with the savings "
        f"{now.show(found.saving.mixed, 'paint_volume')}. The film on the panel is the same; "
        f"{now.show(abs(less), 'paint_volume')} {'less' if less >= 0 else 'more'} of it goes "
        "elsewhere. "
    )
    if found.money is None:
        return words + "Enter the price of your tin, and what it holds, to see it in your money."
    saved = found.money.saved
    apart, new, old = (now.show(one, "money", 3) for one in (abs(saved), found.money.saving, found.money.usual))
    return words + (
        f"At your price that is {apart} {'saved' if saved >= 0 else 'more'}, {new} instead of {old}: for "
        "the paint mixed, not for whole tins."
    )


bench = Bench(
    title="Less air, less waste: with and without",
    about="What lands on the panel is what the film asks for. The rest is yours to make smaller. No price is known "
    "here: nothing is reckoned in money until you enter yours.",
    controls={
        "area": "1.2 m²",
        "dry_film": Control("25 µm", label="dry film of one coat"),
        "volume_solids": Control("45 %", outfit=True, label="volume solids as sprayed"),
        "coats": "2",
        "usual_lands": Control(
            "55 %", name="transfer_efficiency", label="lands, as usual", measured="transfer_efficiency"
        ),
        "saving_lands": Control("68 %", name="transfer_efficiency", label="lands, with less air"),
        "usual_left": Control("30 mL", name="left_in_cup", label="left over, as usual"),
        "saving_left": Control("15 mL", name="left_in_cup", label="left over, mixed to measure"),
        "pack_size": "1000 mL",
        "pack_price": "0",
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["transfer_efficiency", "transfer-trials", "coverage-constant", "derived-here"],
    measurement="transfer",
    beside=True,
)
