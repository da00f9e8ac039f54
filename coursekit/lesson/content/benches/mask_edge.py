"""The edge that a mask leaves: a step at flat tape, a ramp under tape that is folded back and stands up."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from coursekit import spraying
from coursekit.belief import band_si, drawn, quantiles
from coursekit.figure import first_holding
from coursekit.lesson.draw.picture import Chart, Line, Part, Shade
from coursekit.lesson.draw.tape import tapes
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.quantities import Real
from coursekit.spraying.masking import STEP_REACH, MaskEdge, Section
from coursekit.uncertain import Band

SOFT, HARD = 30.0, 5.0  # ramp over film of a soft edge at least, of a hard one at most; common practice, no source
AXES = (0.02, 0.05, 0.12)  # m to each side of the lip; the axis stays put until the next one is needed
FILMS = (30e-6, 75e-6, 150e-6, 400e-6)
DRAWS = 2000


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


def percentiles(found: MaskEdge) -> MaskEdge:
    return MaskEdge(*(quantiles(field) for field in found))


@declare(
    "The edge under the tape",
    gives={
        "whole": "dry_film",
        "place": "outward",
        "band": "dry_film",  # under the edge that is looked at
        "raised": spraying.mask_edge,
        "flat": spraying.mask_edge,
        "soft": "sample_share",  # in how many of the samples the raised edge counts as soft, and the flat one as hard
        "hard": "sample_share",
    },
    about="Flat tape lies on the panel. Raised tape is folded back on itself, sticky side out, so that its edge "
    "stands up like a little eave: some mist drifts under it.",
    sources=["angle_spread", "width_factor", "tape_thickness", "ray-geometry", "common-practice"],
    measurement="ramp",
)
def bench(
    tape: str = at("raised", label="edge the band belongs to"),
    dry_film: float = at("20 µm", label="dry film of one coat"),
    coats: float = at("1"),
    step_back: float = at("0 mm", label="raised tape moved out per coat"),
    lip_height: float = at("5 mm", slider=(0.5, 12, 0.5), slider_us=(0.05, 0.5, 0.05)),
) -> dict[str, Any]:
    thickness, spread, factor = (own.coefficient(key) for key in ("tape_thickness", "angle_spread", "width_factor"))
    edge = {}
    for kind in ("flat", "raised"):
        many = drawn({"tape_thickness": thickness, "angle_spread": spread, "width_factor": factor}, DRAWS)
        edge[kind] = spraying.mask_edge.si(kind, dry_film, lip_height, **many)
    usual = (lip_height, float(thickness), float(spread), float(factor))
    wide = float(np.percentile(edge["raised"].ramp_width, 95)) + step_back * (round(coats) - 1)
    reach = first_holding(AXES, wide)
    place = np.linspace(-reach, reach, 61)
    back = step_back if tape == "raised" else 0.0
    return {
        "whole": dry_film * round(coats),
        "sections": {
            "raised": spraying.edge_section.si("raised", dry_film, coats, step_back, *usual),
            "flat": spraying.edge_section.si("flat", dry_film, coats, 0.0, *usual),
        },
        "place": place,
        "band": band_si(
            film, place, tape, dry_film, round(coats), back, lip_height, thickness, spread, factor, draws=DRAWS
        ),
        "raised": percentiles(edge["raised"]),
        "flat": percentiles(edge["flat"]),
        "soft": float(np.mean(edge["raised"].ramp_ratio >= SOFT)),
        "hard": float(np.mean(edge["flat"].ramp_ratio <= HARD)),
        "reach": reach,
    }


@bench.says
def say(now: Now) -> str:
    raised, flat, tenth = now.raised, now.flat, now.place.of(STEP_REACH)
    ratio = raised.ramp_ratio
    rise = now.figure(Band(0.1, 0.5, 0.9), "sample_share")
    words = (
        f"A film of {now.whole}. Under tape that stands up {now.lip_height} one coat fades out over "
        f"{raised.ramp_width} (from {rise} of the film). That is {ratio.low:.0f} to {ratio.high:.0f} times as wide "
        f"as it is thick. Its steepest rise within {tenth:1} is {raised.step}. At flat tape it ends within "
        f"{flat.ramp_width}: "
        f"a step of {flat.step} within {tenth:1}, which a finger feels and colour shows as a line. "
    )
    if now.coats > 1 and now.step_back > 0:
        words += (
            f"Moved out by {now.step_back} before each further coat, the raised tape lets the coats end one after "
            "the other. "
        )
    return words + (
        f"Of the tapes and sprays that yours may be, {now.soft:2} make a raised edge at least {SOFT:.0f} times as "
        f"wide as the coat is thick. At flat tape {now.hard:2} make one at most {HARD:.0f} times."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    parts: list[Part] = [Shade(now.place, now.band, "where yours may lie")]
    for kind, dash in (("raised", "solid"), ("flat", "dashed")):
        x, y = within(now.sections[kind], now.reach)
        pinned = "pinned" if kind == now.tape else None
        parts.append(Line(now.place.of(x), now.whole.of(y), f"tape {kind}", dash, pinned))
    whole = now.whole.si
    across = now.place.axis(now.reach, "under the tape ←   lip   → open panel", -now.reach)
    most = next((end for end in FILMS if end >= 1.1 * whole), math.ceil(whole / 4e-4) * 4.4e-4)
    sections = {kind: within(section, now.reach) for kind, section in now.sections.items()}
    chart = Chart(across, now.whole.axis(most), parts, height=290)
    return [tapes(sections, now.reach, now.lip_height, now.whole, "surfacer"), chart]


def within(section: Section, reach: float) -> tuple[np.ndarray, np.ndarray]:
    """The section from end to end of the axis, thinned to what a picture can show."""
    place, film = np.asarray(section.place), np.asarray(section.film)
    here = np.abs(place) <= reach
    every = max(1, int(here.sum()) // 240)
    place, film = place[here][::every], film[here][::every]
    return np.r_[-reach, place, reach], np.r_[film[0], film, film[-1]]
