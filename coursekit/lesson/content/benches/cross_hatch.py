"""What cross-hatch buys: a card with equal waves both ways, blocked one way, and crosswise with as much work."""

from __future__ import annotations

from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.quantities import give, read
from coursekit.repair.decisions import Decision, cross_hatch


def compute(wavelength: float, amplitude: float, strokes: float, held: str) -> Decision:
    return cross_hatch(
        give(wavelength, "wavelength"), give(amplitude, "amplitude"), give(strokes, "strokes"), tool=held
    )


def draw(now: Now) -> str:
    figures = now.result.figures
    rows = []
    for title, key in (("one way", "one_way"), ("cross-hatch", "crosswise")):
        for words, left, hatch in zip(
            ("along the first strokes", "across them"),
            (float(read(one, "amplitude")) for one in figures[key]),
            ("plain", "slant"),
            strict=True,
        ):
            rows.append(
                Bar(f"{title}, waves {words}", now.number(left, "amplitude"), now.show(left, "amplitude", 2), hatch)
            )
    label = now.axis("amplitude", 0, 1, "height of the wave left").label
    return bars(label, rows, now.number(now["amplitude"], "amplitude"))


def say(now: Now) -> str:
    found: Decision = now.result
    ways = {
        key: [now.show(float(read(one, "amplitude")), "amplitude", 2) for one in found.figures[key]]
        for key in ("one_way", "crosswise")
    }
    words = (
        f"Waves of {now.text('amplitude')} both ways, {now.text('wavelength')} long, and {now.text('strokes')} "
        "of "
        f"P320 over each place: strokes one way leave {ways['one_way'][0]} along them and {ways['one_way'][1]} "
        f"across; half of the strokes each way leave {ways['crosswise'][0]} and {ways['crosswise'][1]}. "
    )
    gain = float(found.figures["gain"])
    if gain > 0.05:
        return words + (
            f"In the worse direction that is {now.show(gain, 'remaining', 2)} less wave for the same work."
        )
    return words + "Here that buys next to nothing."


bench = Bench(
    title="What cross-hatch buys",
    about="The card is flat, under 20 N (4.5 lbf); it is blocked anew at each press.",
    controls={
        "wavelength": Control("120 mm", slider=(60, 300, 10), slider_us=(2.5, 11.5, 0.5)),
        "amplitude": Control("3 µm", slider=(1, 30, 1), slider_us=(0.05, 1.2, 0.05)),
        "strokes": Control("100", slider=(0, 400, 10), slider_us=(0, 400, 10), label="strokes over each place"),
        "held": Control("long board", options=("hand block", "long board", "stiff board")),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["wear_coefficient", "preston-1927", "levelling-derived"],
    measurement="removal",
    press="Block both cards",
)
