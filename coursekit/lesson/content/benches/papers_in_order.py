"""A sequence of papers judged step by step, and the material it takes."""

from __future__ import annotations

from typing import Any, NamedTuple

from coursekit import sanding
from coursekit.lesson.content.shared.sanding_hand import HAND, block, ease, hardness
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.learner import own, unit_system
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.quantities import InputError
from coursekit.sanding.progression import Cost, Step, judged

AXES = (100.0, 200.0, 400.0, 1000.0, 3000.0, 10000.0)
MOST_STEPS = 9  # rows that one looks at together
HATCHES = {"go": "slant", "doubtful": "dots", "no": "cross"}


class Sequence(NamedTuple):
    steps: dict[str, list[Step]]  # by system: a verdict has its reason in words
    cost: Cost


def compute(
    grades: str, force: float, block_length: float, block_width: float, sanded: str, film: float, area: float
) -> Sequence:
    mine = own.garage_file().using(sanding.judge_sequence)
    known: dict[str, Any] = {
        **mine,
        "grades": grades,
        "force": force,
        "block": block(block_length, block_width),
        "hardness": hardness(sanded),
        "film": film,
        "cutting_ease": ease(sanded),
    }
    steps = judged(unit_system.chosen(), **known)
    if len(steps) > MOST_STEPS:
        raise InputError(
            "grades",
            f"are {len(steps)} steps; this bench shows {MOST_STEPS}.",
            "Look at them in two parts; sanding.judge_sequence takes more.",
        )
    return Sequence({unit_system.chosen(): steps}, sanding.sequence_cost.si(area=area, **known))


def steps_of(now: Now) -> list[Step]:
    """The steps with their reasons in the units that are shown, judged again when the units changed."""
    done: Sequence = now.result
    if now.system not in done.steps:
        done.steps.update(compute(**now.values).steps)
    return done.steps[now.system]


def draw(now: Now) -> str:
    steps = steps_of(now)
    rows = [bar(now, step) for step in steps] + [total(now, "all together")]
    if now.kept:
        rows.append(total(now.kept, "kept, all together"))
    longest = max(row.high or 0.0 for row in rows)
    end = next((end for end in AXES if end >= longest), 1.1 * longest)
    return bars("strokes over each place", rows, end)


def total(now: Now, label: str) -> Bar:
    strokes, film = now.result.cost.strokes, now.result.cost.film
    return Bar(
        label,
        strokes.middle,
        f"{now.show(strokes, 'strokes')}, takes {now.show(film, 'film')}",
        "plain",
        strokes.low,
        strokes.high,
    )


def bar(now: Now, step: Step) -> Bar:
    strokes = step.strokes
    if strokes.high > 0:
        text = f"{now.show(strokes, 'strokes')}, takes {now.show(step.film, 'film')} ({step.hint})"
    elif step.hint:
        text = "as many strokes as its waves ask for"
    else:
        text = "after it the papers start anew" if step.verdict == "go" else "may not fill what lies under it"
    return Bar(
        f"{step.paper}, {step.verdict}",
        strokes.middle,
        text,
        HATCHES[step.verdict],
        *((strokes.low, strokes.high) if strokes.high > 0 else ()),
    )


def say(now: Now) -> str:
    steps, cost = steps_of(now), now.result.cost
    told = [f"{step.paper} – {step.verdict}: {step.reason}" for step in steps if step.verdict != "go"]
    judged = " ".join(told) if told else "No step is too large for its film, on a flat and with fresh paper."
    return (
        f"{judged} Burying alone takes {now.show(cost.film, 'film')} of film and {now.show(cost.strokes, 'strokes')} "
        f"over each place; on {now.text('area')} that is {now.show(cost.removed_volume, 'removed_volume')} of dust. "
        "What flattening the waves takes comes on top."
    )


bench = Bench(
    title="Papers in order",
    about='Type the papers in the order of use, with commas, and "coat" where you spray one between them.',
    controls={
        "grades": "P180, P320, coat, P400, P600",
        **HAND,
        "film": Control("60 µm", label="film there, and of each coat"),
        "area": "1 m²",
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=[
        "wear_coefficient",
        "size_exponent",
        "scratch_factor",
        "hardness_surfacer",
        "preston-1927",
        "ecv-grind",
        "scratch-calibration",
    ],
    measurement="removal",
)
