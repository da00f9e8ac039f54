"""Two limits of the eye: roughness that takes the gloss, and waves that bend a reflection."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import sanding
from coursekit.lesson.draw.charts import Line, Mark, Part, Shade, chart, side_by_side
from coursekit.lesson.workbench.bench import Bench, Control, Now

ANGLES = {20: "solid", 60: "dashed", 85: "dotted"}  # degrees, at which gloss is read
ROUGH = np.linspace(0, 130e-9, 53)
LONG = np.linspace(1e-3, 0.4, 40)


class Limits(NamedTuple):
    kept: dict[int, float]  # angle → share of the mirror that is left
    strict: float
    kind: float
    verdict: str


def compute(rq: float, wavelength: float, amplitude: float, kindness: float) -> Limits:
    limit = sanding.visible_wave.si(wavelength, kindness)
    gloss = {angle: float(sanding.gloss_factor.si(rq, np.radians(angle))) for angle in ANGLES}
    return Limits(
        gloss, float(limit.strict), float(limit.kind), sanding.wave_verdict.si(amplitude, wavelength, kindness)
    )


def draw(now: Now) -> str:
    gloss: list[Part] = [
        Line(
            now.number(ROUGH, "rq"),
            sanding.gloss_factor.si(ROUGH, np.radians(angle)) * 100,
            f"seen at {angle}°",
            dash,
        )
        for angle, dash in ANGLES.items()
    ]
    gloss += [Mark(now.number(now["rq"], "rq"), share * 100) for share in now.result.kept.values()]
    limit = sanding.visible_wave.si(LONG, now["kindness"])
    strict, kind = (now.number(one, "amplitude") for one in limit)
    top = now.number(60e-6, "amplitude")
    across = now.number(LONG, "wavelength")
    waves: list[Part] = [
        Shade(across, np.minimum(strict, top), np.minimum(kind, top), "strict eye to most eyes"),
        Mark(now.number(now["wavelength"], "wavelength"), now.number(now["amplitude"], "amplitude"), "your wave"),
    ]
    if now.kept:
        waves.append(
            Mark(
                now.number(now.kept["wavelength"], "wavelength"),
                now.number(now.kept["amplitude"], "amplitude"),
                "kept",
                True,
            )
        )
    return side_by_side(
        chart(now.axis("rq", 0, 130e-9), now.axis("gloss_factor", 0, 1.0, "of the mirror left"), gloss, 345, 300),
        chart(now.axis("wavelength", 0, 0.4), now.axis("amplitude", 0, 60e-6), waves, 345, 300),
    )


def say(now: Now) -> str:
    found: Limits = now.result
    shares = ", ".join(f"{now.show(share, 'gloss_factor', 2)} at {angle}°" for angle, share in found.kept.items())
    words = (
        f"A roughness Rq of {now.text('rq')} keeps of a mirror's reflection {shares}: look at it steeply, not "
        f"along the panel, before you call it glossy. A wave {now.text('wavelength')} long bends the reflection "
        f"of a straight lamp visibly from {now.show(found.strict, 'amplitude', 2)} up for a strict eye, from "
        f"{now.show(found.kind, 'amplitude', 2)} for most people; yours is {now.text('amplitude')} high: "
    )
    return words + (
        f"{found.verdict}. No threshold for painted panels was found in print: this is the eye's own limit."
    )


bench = Bench(
    title="Gloss and waves",
    about="Fine roughness takes the gloss, waves bend what is mirrored. Rq is the root mean square of the "
    "roughness; the height of a wave goes from its middle to its crest.",
    controls={
        "rq": "25 nm",
        "wavelength": Control("120 mm", label="length of the wave", slider=(5, 400, 5), slider_us=(0.25, 16, 0.25)),
        "amplitude": Control("20 µm", slider=(0, 60, 0.5), slider_us=(0, 2.4, 0.02)),
        "kindness": Control("10", label="what your eye allows, times the strict limit"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["gloss-roughness", "rayleigh-limit", "arc-minute-eye", "normal-sight"],
    beside=True,
)
