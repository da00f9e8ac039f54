"""Solids on a data sheet: by mass or by volume, or not there at all, and what each does to the film."""

from __future__ import annotations

from typing import NamedTuple

from coursekit import datasheet, film
from coursekit.belief import band_si
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.uncertain import Band, Coefficient

GIVEN = {"by mass": "mass_solids", "by volume": "volume_solids", "not at all": ""}
THICKEST = 200e-6  # m; the axis stays put while it is not passed


class Reading(NamedTuple):
    material: datasheet.Material
    volume_solids: Coefficient
    wet: Band  # to lay for the film that is wanted
    wrong_wet: float  # by who takes the printed figure for volume solids
    wrong_dry: Band  # and what is left of that


def compute(given: str, solids: float, density: float, dry_film: float) -> Reading:
    figure = f'{GIVEN[given]} = "{solids * 100:.6g} %"\n' if GIVEN[given] else ""
    text = f'[sheet]\nkind = "surfacer"\nratio = "4:1:1"\n{figure}density = "{density / 1000:.6g} kg/L"\n'
    material = datasheet.read(text, "your sheet")["sheet"]
    found = material.volume_solids
    assert found is not None, "for a surfacer a usual band stands in"
    wet: Band = band_si(film.wet_film, dry_film, found)
    wrong = float(film.wet_film.si(dry_film, solids))
    return Reading(material, found, wet, wrong, band_si(film.dry_film, wrong, found))


def draw(now: Now) -> str:
    rows = [bar(now, "Wet film to lay for it", "slant")]
    if now.kept:
        rows.append(bar(now.kept, "Kept: wet film to lay", "cross"))
    if now["given"] == "by mass":
        wrong = now.result.wrong_wet
        rows.append(
            Bar(
                "If the figure above is taken for volume solids",
                now.number(wrong, "wet_film"),
                now.show(wrong, "wet_film"),
                "plain",
            )
        )
    longest = max([THICKEST, *(n.result.wet.high * 1.1 for n in (now, now.kept) if n)])
    return bars(now.axis("wet_film", 0, THICKEST).label, rows, now.number(longest, "wet_film"))


def bar(now: Now, label: str, hatch: str) -> Bar:
    low, middle, high = now.number(now.result.wet, "wet_film")
    return Bar(label, middle, now.show(now.result.wet, "wet_film"), hatch, low, high)


def say(now: Now) -> str:
    reading = now.result
    words = reading.material.sentence("volume_solids", now.system) + (
        f" For {now.text('dry_film')} dry lay {now.show(reading.wet, 'wet_film')} wet."
    )
    if now["given"] == "by mass":
        words += (
            f" Who takes {now.text('solids')} for volume solids lays {now.show(reading.wrong_wet, 'wet_film')} "
            f"and is left with {now.show(reading.wrong_dry, 'dry_film')}."
        )
    ask = ", ".join(datasheet.label_of(figure) for figure in reading.material.missing)
    return f"{words} Ask the sheet for: {ask}."


bench = Bench(
    title="What the solids on a sheet mean",
    about="A surfacer, 4:1:1, ready to spray. Change how its sheet gives the solids.",
    controls={
        "given": "by mass",
        "solids": Control(
            "62 %", name="mass_solids", label="the figure on it", slider=(20, 80, 1), slider_us=(20, 80, 1)
        ),
        "density": Control(
            "1.33 kg/L", label="density of the mix", slider=(1, 1.6, 0.01), slider_us=(8.3, 13.4, 0.1)
        ),
        "dry_film": Control(
            "30 µm", label="dry film wanted in a coat", slider=(10, 80, 5), slider_us=(0.4, 3.2, 0.2)
        ),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["iso-23811", "volatile_density", "typical-liquids", "mil-hdbk-1110"],
)
