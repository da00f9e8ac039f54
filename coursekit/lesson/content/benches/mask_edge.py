"""The edge that a mask leaves: a step at flat tape, a ramp under tape that is folded back and stands up."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.belief import band_si, drawn, quantiles
from coursekit.lesson.draw.charts import Line, Part, Shade, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.quantities import Real
from coursekit.spraying.masking import STEP_REACH, MaskEdge, Section
from coursekit.uncertain import Band

SOFT, HARD = 30.0, 5.0  # ramp over film of a soft edge at least, of a hard one at most; common practice, no source
AXES = (0.02, 0.05, 0.12)  # m to each side of the lip; the axis stays put until the next one is needed
FILMS = (30e-6, 75e-6, 150e-6, 400e-6)
DRAWS = 2000


class Edges(NamedTuple):
    sections: dict[str, Section]
    place: np.ndarray
    band: Band  # of the film under the edge that is looked at
    edge: dict[str, MaskEdge]  # of bands
    soft: float  # in how many of the samples the raised edge counts as soft, and the flat one as hard
    hard: float
    reach: float


def film(
    place: np.ndarray,
    tape: str,
    dry_film: float,
    coats: int,
    step_back: float,
    lip_height: Real,
    tape_thickness: Real,
    angle_spread: Real,
    width_factor: Real,
) -> Real:
    """Every coat's own edge, each further one with its tape moved out."""
    lip, factor = (lip_height, width_factor) if tape == "raised" else (tape_thickness, 1.0)
    whole: Real = sum(
        dry_film * spraying.edge_film.si(place + number * step_back, lip, angle_spread, factor)
        for number in range(coats)
    )
    return whole


def compute(tape: str, dry_film: float, coats: float, step_back: float, lip_height: float) -> Edges:
    thickness, spread, factor = (own.coefficient(key) for key in ("tape_thickness", "angle_spread", "width_factor"))
    edge = {}
    for kind in ("flat", "raised"):
        many = drawn({"tape_thickness": thickness, "angle_spread": spread, "width_factor": factor}, DRAWS)
        edge[kind] = spraying.mask_edge.si(kind, dry_film, lip_height, **many)
    usual = (lip_height, float(thickness), float(spread), float(factor))
    sections = {
        "flat": spraying.edge_section.si("flat", dry_film, coats, 0.0, *usual),
        "raised": spraying.edge_section.si("raised", dry_film, coats, step_back, *usual),
    }
    wide = float(np.percentile(edge["raised"].ramp_width, 95)) + step_back * (round(coats) - 1)
    reach = next((end for end in AXES if end >= wide), AXES[-1])
    place = np.linspace(-reach, reach, 61)
    back = step_back if tape == "raised" else 0.0
    band = band_si(
        film, place, tape, dry_film, round(coats), back, lip_height, thickness, spread, factor, draws=DRAWS
    )
    return Edges(
        sections,
        place,
        band,
        {kind: percentiles(found) for kind, found in edge.items()},
        float(np.mean(edge["raised"].ramp_ratio >= SOFT)),
        float(np.mean(edge["flat"].ramp_ratio <= HARD)),
        reach,
    )


def percentiles(found: MaskEdge) -> MaskEdge:
    return MaskEdge(*(quantiles(field) for field in found))


def draw(now: Now) -> str:
    place = now.number(now.result.place, "outward")
    band = now.number(now.result.band, "dry_film")
    parts: list[Part] = [Shade(place, band.low, band.high, "where yours may lie")]
    for kind, dash in (("raised", "solid"), ("flat", "dashed")):
        section = now.result.sections[kind]
        x, y = within(section, now.result.reach)
        parts.append(Line(now.number(x, "outward"), now.number(y, "dry_film"), f"tape {kind}", dash))
    if now.kept:
        x, y = within(now.kept.result.sections[now.kept["tape"]], now.result.reach)
        parts.append(Line(now.number(x, "outward"), now.number(y, "dry_film"), "kept", "dotted"))
    whole = now["dry_film"] * round(now["coats"])
    most = next((end for end in FILMS if end >= 1.1 * whole), math.ceil(whole / 4e-4) * 4.4e-4)
    return chart(
        now.axis("outward", -now.result.reach, now.result.reach, "under the tape ←   lip   → open panel"),
        now.axis("dry_film", 0, most),
        parts,
        780,
        340,
    )


def within(section: Section, reach: float) -> tuple[np.ndarray, np.ndarray]:
    """The section from end to end of the axis, thinned to what a picture can show."""
    place, film = np.asarray(section.place), np.asarray(section.film)
    here = np.abs(place) <= reach
    every = max(1, int(here.sum()) // 240)
    place, film = place[here][::every], film[here][::every]
    return np.r_[-reach, place, reach], np.r_[film[0], film, film[-1]]


def say(now: Now) -> str:
    raised, flat = now.result.edge["raised"], now.result.edge["flat"]
    whole, tenth = now.show(now["dry_film"] * round(now["coats"]), "dry_film"), now.show(STEP_REACH, "outward", 1)
    words = (
        f"A film of {whole}. Under tape that stands up {now.text('lip_height')} one coat fades out over "
        f"{now.show(raised.ramp_width, 'ramp_width')} (from 10 to 90\N{NARROW NO-BREAK SPACE}% of the film), "
        f"{raised.ramp_ratio.low:.0f} to {raised.ramp_ratio.high:.0f} times as wide as it is thick; its steepest "
        f"rise within {tenth} is {now.show(raised.step, 'step')}. At flat tape it ends within "
        f"{now.show(flat.ramp_width, 'ramp_width')}: a step of {now.show(flat.step, 'step')} within {tenth}, which "
        "a finger feels and colour shows as a line. "
    )
    if now["coats"] > 1 and now["step_back"] > 0:
        words += (
            f"Moved out by {now.text('step_back')} before each further coat, the raised tape lets the coats "
            "end one after the other. "
        )
    return words + (
        f"In {now.show(now.result.soft, 'sample_share', 2)} of the tapes and sprays that yours may be, the raised "
        f"edge is at least {SOFT:.0f} times as wide as the coat is thick, and in "
        f"{now.show(now.result.hard, 'sample_share', 2)} the flat one at most {HARD:.0f} times."
    )


bench = Bench(
    title="The edge under the tape",
    about="Flat tape lies on the panel. Raised tape is folded back on itself, sticky side out, so that its edge "
    "stands up like a little eave: some mist drifts under it.",
    controls={
        "tape": Control("raised", label="edge the band belongs to"),
        "dry_film": Control("20 µm", label="dry film of one coat"),
        "coats": "1",
        "step_back": Control("0 mm", label="raised tape moved out per coat"),
        "lip_height": Control("5 mm", slider=(0.5, 12, 0.5), slider_us=(0.05, 0.5, 0.05)),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["angle_spread", "width_factor", "tape_thickness", "ray-geometry", "common-practice"],
    measurement="ramp",
)
