"""How much paint a panel takes: a band, because nobody knows yet how much of it lands."""

from __future__ import annotations

from coursekit import film
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.uncertain import Band

MOST = 2e-3  # m³; the axis stays put while it is not passed


def compute(area: float, dry_film: float, volume_solids: float, coats: float) -> Band:
    lands = own.coefficient("transfer_efficiency")
    found: Band = own.banded(
        film.paint_needed,
        area=area,
        dry_film=dry_film,
        volume_solids=volume_solids,
        coats=coats,
        transfer_efficiency=lands,
    )
    return found


def landed(now: Now) -> float:
    return float(film.paint_needed.si(now["area"], now["dry_film"], now["volume_solids"], 1, now["coats"]))


def draw(now: Now) -> str:
    label = now.axis("paint_volume", 0, MOST).label
    lands = Bar(
        "What must land on the panel",
        now.number(landed(now), "paint_volume"),
        now.show(landed(now), "paint_volume"),
        "plain",
    )
    rows = [lands, needed(now, "What you must spray")]
    if now.kept:
        rows.append(needed(now.kept, "Kept: what you must spray", "cross"))
    longest = max([MOST, *(n.result.high * 1.1 for n in (now, now.kept) if n)])
    return bars(label, rows, now.number(longest, "paint_volume"))


def needed(now: Now, label: str, hatch: str = "slant") -> Bar:
    band = now.number(now.result, "paint_volume")
    return Bar(label, band.middle, now.show(now.result, "paint_volume"), hatch, band.low, band.high)


def say(now: Now) -> str:
    lost = now.result.middle - landed(now)
    coats = f"{now['coats']:g} coat" + ("s" if now["coats"] != 1 else "")
    return (
        f"{coats} of {now.text('dry_film')} dry on {now.text('area')} hold {now.show(landed(now), 'paint_volume')} "
        f"of ready-to-spray paint. As not all of it lands, you spray {now.show(now.result, 'paint_volume')}: about "
        f"{now.show(lost, 'paint_volume', 2)} goes elsewhere. Cup, hose and strainer keep more."
    )


bench = Bench(
    title="How much paint the panel takes",
    controls={
        "area": "1.2 m²",
        "dry_film": "50 µm",
        "volume_solids": Control("40 %", outfit=True, label="volume solids as sprayed"),
        "coats": "2",
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["transfer_efficiency", "joseph-film", "coverage-constant"],
    measurement="transfer",
)
