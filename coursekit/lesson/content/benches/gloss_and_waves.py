"""Two limits of the eye: roughness that takes the gloss, and waves that bend a reflection."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import panel, sanding
from coursekit.lesson.draw.map_pictures import PanelMaps
from coursekit.lesson.draw.picture import Chart, Line, Mark, Part, Row, Shade
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.panel import Panel, mirror
from coursekit.panel.state import changed

ANGLES = {20: "solid", 60: "dashed", 85: "dotted"}  # degrees, at which gloss is read
ROUGH = np.linspace(0, 130e-9, 53)
LONG = np.linspace(1e-3, 0.4, 40)
HIGHEST = 60e-6  # m
SIZE = (0.4, 0.16)  # m of the card that mirrors


def mirroring(rq: float, wavelength: float, amplitude: float) -> Panel:
    """A card of clear with that roughness, and waves that run along it."""
    shape = panel.test_card(*SIZE, 2.5e-3)
    wave = amplitude * np.cos(2 * np.pi * shape.x / wavelength) + 0 * shape.y[:, None]
    found = panel.sheet_metal(shape, dents=wave, coats=(("base", 15e-6), ("clear", 50e-6)), contamination=0.0)
    return changed(found, scratch=np.full(shape.form.shape, mirror.scratch_of_rq(rq)))


@declare(
    "Gloss and waves",
    gives={"gloss": "gloss_factor", "limit": sanding.visible_wave},
    about="Fine roughness takes the gloss, waves bend what is mirrored. Rq is the root mean square of the "
    "roughness; the height of a wave counts from its middle to its crest.",
    sources=["gloss-roughness", "rayleigh-limit", "arc-minute-eye", "normal-sight"],
    lamp=True,
)
def bench(
    rq: float = at("25 nm"),
    wavelength: float = at("120 mm", label="length of the wave", slider=(5, 400, 5), slider_us=(0.25, 16, 0.25)),
    amplitude: float = at("20 µm", slider=(0, 60, 0.5), slider_us=(0, 2.4, 0.05)),
    kindness: float = at("10", label="what your eye allows, times the strict limit"),
) -> dict[str, Any]:
    return {
        # by angle, the share of the mirror that is left
        "gloss": {angle: float(sanding.gloss_factor.si(rq, np.radians(angle))) for angle in ANGLES},
        "limit": sanding.visible_wave.si(wavelength, kindness),
        "card": mirroring(rq, wavelength, amplitude),
    }


@bench.says
def say(now: Now) -> str:
    shares = ", ".join(f"{share:2} at {angle}°" for angle, share in now.gloss.items())
    return (
        f"Your wave of {now.amplitude}: {seen(now)}. At {now.wavelength} long, a strict eye sees a straight lamp "
        f"bend from {now.limit.strict:2} up, an eye that allows {now.kindness:.2g} times that from "
        f"{now.limit.kind:2}. A roughness Rq of {now.rq} keeps of a mirror's reflection {shares}. Look steeply, "
        "not along the panel, before you call it glossy. No threshold for painted panels was found in print: this is "
        "the eye's own limit."
    )


def seen(now: Now) -> str:
    if now.amplitude <= now.limit.strict:
        return "neither sees it"
    return "both see it" if now.amplitude > now.limit.kind else "the strict eye sees it, the other does not"


@bench.draws
def draw(now: Now) -> Drawn:
    rough, long = now.rq.of(ROUGH), now.wavelength.of(LONG)
    share = now.figure(0.0, "gloss_factor")
    gloss: list[Part] = [
        Line(rough, share.of(sanding.gloss_factor.si(ROUGH, np.radians(angle))), f"seen at {angle}°", dash)
        for angle, dash in ANGLES.items()
    ]
    gloss += [Mark(now.rq, pinned) for pinned in now.gloss.values()]
    limit = sanding.visible_wave.si(LONG, now.kindness.si)
    between = [now.amplitude.of(np.minimum(end, HIGHEST)) for end in (limit.strict, limit.kind)]
    waves: list[Part] = [
        Shade(long, between, "strict eye to yours"),
        Mark(now.wavelength, now.amplitude, "your wave"),
    ]
    charts = Row(
        Chart(now.rq.axis(ROUGH[-1]), share.axis(1.0, "of the mirror left"), gloss, 345, 250),
        Chart(now.wavelength.axis(LONG[-1]), now.amplitude.axis(HIGHEST), waves, 345, 250),
    )
    return [PanelMaps([("a card of clear", now.card)], "what shows", 280.0, light=now.light), charts]
