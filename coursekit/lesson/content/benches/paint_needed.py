"""How much paint a panel takes: a band, because nobody knows yet how much of it lands."""

from __future__ import annotations

from typing import Any

from coursekit import film
from coursekit.lesson.draw.picture import Bar, Bars
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

MOST = 2e-3  # m³; the axis stays put while it is not passed


@declare(
    "How much paint the panel takes",
    gives={"needed": "paint_volume", "lands": "paint_volume"},
    sources=["transfer_efficiency", "joseph-film", "coverage-constant"],
    measurement="transfer",
)
def bench(
    area: float = at("1.2 m²"),
    dry_film: float = at("50 µm"),
    volume_solids: float = at("40 %", outfit=True, label="volume solids as sprayed"),
    coats: float = at("2"),
) -> dict[str, Any]:
    job: dict[str, Any] = {"area": area, "dry_film": dry_film, "volume_solids": volume_solids, "coats": coats}
    lands = own.coefficient("transfer_efficiency")
    return {
        "needed": own.band_si(film.paint_needed, **job, transfer_efficiency=lands),
        "lands": float(film.paint_needed.si(**job, transfer_efficiency=1.0)),
    }


@bench.says
def say(now: Now) -> str:
    what = f"of {now.dry_film} dry on {now.area}"
    coats = f"1 coat {what} holds" if now.coats == 1 else f"{now.coats:g} coats {what} hold"
    return (
        f"{coats} {now.lands} of "
        f"ready-to-spray paint. As not all of it lands, you spray {now.needed}: about "
        f"{now.needed.middle - now.lands:2} goes elsewhere. Cup, hose and strainer keep more."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    rows = [
        Bar("What must land on the panel", now.lands),
        Bar("What you must spray", now.needed, hatch="slant", pinned="Pinned: what you must spray"),
    ]
    return Bars(now.needed.axis(max(MOST, now.needed.most * 1.1)), rows)
