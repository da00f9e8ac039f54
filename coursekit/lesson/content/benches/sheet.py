"""Solids on a data sheet: by mass or by volume, or not there at all, and what each does to the film."""

from __future__ import annotations

from typing import Any

from coursekit import datasheet, film
from coursekit.belief import band_si
from coursekit.lesson.draw.sheet_read import Read, sheet_read
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

GIVEN = {"by mass": "mass_solids", "by volume": "volume_solids", "not at all": ""}


@declare(
    "What the solids on a sheet mean",
    gives={
        "wet": "wet_film",  # to lay for the film that is wanted
        "wrong_wet": "wet_film",  # by who takes the printed figure for volume solids
        "wrong_dry": "dry_film",  # and what is left of that
    },
    about="A surfacer, 4:1:1, ready to spray. Change how its sheet gives the solids.",
    sources=["iso-23811", "volatile_density", "typical-liquids", "mil-hdbk-1110"],
)
def bench(
    given: str = at("by mass"),
    solids: float = at(
        "62 %", name="mass_solids", label="the figure on it", slider=(20, 80, 1), slider_us=(20, 80, 1)
    ),
    density: float = at("1.33 kg/L", label="density of the mix", slider=(1, 1.6, 0.01), slider_us=(8.3, 13.4, 0.1)),
    dry_film: float = at("30 µm", label="dry film wanted in a coat", slider=(10, 80, 5), slider_us=(0.4, 3.2, 0.2)),
) -> dict[str, Any]:
    figure = f'{GIVEN[given]} = "{solids * 100:.6g} %"\n' if GIVEN[given] else ""
    text = f'[sheet]\nkind = "surfacer"\nratio = "4:1:1"\n{figure}density = "{density / 1000:.6g} kg/L"\n'
    material = datasheet.read(text, "your sheet")["sheet"]
    found = material.volume_solids
    assert found is not None, "for a surfacer a usual band stands in"
    wrong = float(film.wet_film.si(dry_film, solids))
    return {
        "material": material,
        "wet": band_si(film.wet_film, dry_film, found),
        "wrong_wet": wrong,
        "wrong_dry": band_si(film.dry_film, wrong, found),
    }


@bench.says
def say(now: Now) -> str:
    words = now.material.sentence("volume_solids", now.system) + f" For {now.dry_film} dry lay {now.wet} wet."
    if now.given == "by mass":
        words += (
            f" Anyone who takes {now.solids} for volume solids lays {now.wrong_wet} and is left with {now.wrong_dry}."
        )
    ask = ", ".join(datasheet.label_of(figure) for figure in now.material.missing)
    return f"{words} Ask the sheet for: {ask}."


@bench.draws
def draw(now: Now) -> Drawn:
    solids = f"solids: {now.given}" if now.given == "not at all" else f"solids {now.given}: {now.solids}"
    lines = ("Surfacer, 4:1:1", solids, f"density: {now.density}", *("",) * 3)
    reads = [Read("as it is meant", now.wet, now.dry_film)]
    if now.given == "by mass":
        reads.append(Read("taken for volume", now.wrong_wet, now.wrong_dry))
    return sheet_read(lines, 1, now.dry_film, reads)
