"""How much paint a panel takes: a band, because nobody knows yet how much of it lands."""

from __future__ import annotations

from typing import Any

from coursekit import film
from coursekit.figure import first_holding
from coursekit.lesson.draw import paint_job
from coursekit.lesson.draw.drawing import HEAVY, USUAL, Sketch, arrow, label, line, lines_of, told_beside
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

GROUND, WIDE, TALL = 214.0, 92.0, 150.0  # px: where the cups stand, and their size


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
    """The panel, what has to land on it, and what has to be sprayed for that."""
    cup = now.lands.of(first_holding(paint_job.CUPS, now.needed.most))
    most = float(cup.shown)
    lands, middle = float(now.lands.shown), float(now.needed.middle.shown)
    first, _ = paint_job.cup((238.0, GROUND, WIDE, TALL), most, [(lands, "surfacer")])
    second, heights = paint_job.cup(
        (416.0, GROUND, WIDE, TALL), most, [(lands, "surfacer"), (middle - lands, "dots")]
    )
    coats = "1 coat" if now.coats == 1 else f"{now.coats:g} coats"
    ends = [GROUND - TALL * float(end.shown) / most for end in (now.needed.low, now.needed.high)]
    beside = 416.0 + WIDE + 14
    parts = [
        *paint_job.door(now.area.si, 16.0, GROUND),
        lines_of(16, 16, (f"{now.area} to coat:", f"{coats} of {now.dry_film} dry")),
        *first,
        lines_of(238, 16, ("must land:", f"{now.lands}")),
        arrow(346, GROUND - 30, 402, GROUND - 30, HEAVY),
        *second,
        lines_of(416, 16, ("to be sprayed:", f"{now.needed}"), font_weight="700"),
        line("M", beside - 5, ends[0], "h", 10, "m", -5, 0, "V", ends[1], "m", -5, 0, "h", 10, weight=HEAVY),
        *told_beside(
            [
                (416 + WIDE - 4, (heights[0] + heights[1]) / 2, "on the panel"),
                (416 + WIDE - 4, (heights[1] + heights[2]) / 2, "elsewhere"),
            ],
            beside + 16,
            66,
            GROUND,
        ),
        label(16, GROUND + 24, f"Cups of {cup:2}. The bracket: as much as your gun may take."),
    ]
    if now.pinned is not None:
        y = GROUND - TALL * min(float(now.pinned.needed.middle.shown) / most, 1.0)
        parts.append(line("M", 402, y, "h", WIDE + 20, weight=USUAL, stroke_dasharray="7 4"))
        parts.append(label(398, y + 5, "pinned", "end"))
    return Sketch(parts, height=GROUND + 30)
