"""A sequence of papers judged step by step, and the material it takes."""

from __future__ import annotations

from typing import Any

from coursekit import sanding
from coursekit.lesson.content.shared.sanding_hand import (
    BLOCK_LENGTH,
    BLOCK_WIDTH,
    FORCE,
    SANDED,
    block,
    ease,
    hardness,
)
from coursekit.lesson.draw.picture import Bar, Bars
from coursekit.lesson.learner import own, unit_system
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.quantities import InputError
from coursekit.sanding.progression import SequenceStep, judged

AXES = (100.0, 200.0, 400.0, 1000.0, 3000.0, 10000.0)
MOST_STEPS = 9  # rows that one looks at together
HATCHES = {"go": "slant", "doubtful": "dots", "no": "cross"}


@declare(
    "Grit sequence",
    gives={"cost": sanding.sequence_cost},
    about='Type the papers in the order of use, with commas, and "coat" where you spray one between them.',
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
def bench(
    grades: str = at("P180, P320, coat, P400, P600"),
    force: float = FORCE,
    block_length: float = BLOCK_LENGTH,
    block_width: float = BLOCK_WIDTH,
    sanded: str = SANDED,
    film: float = at("60 µm", label="film available, and of each coat"),
    area: float = at("1 m²"),
) -> dict[str, Any]:
    known: dict[str, Any] = {
        **own.garage_file().using(sanding.judge_sequence),
        "grades": grades,
        "force": force,
        "block": block(block_length, block_width),
        "hardness": hardness(sanded),
        "film": film,
        "cutting_ease": ease(sanded),
    }
    system = unit_system.chosen()
    steps = judged(system, **known)
    if len(steps) > MOST_STEPS:
        raise InputError(
            "grades",
            f"are {len(steps)} steps; this bench shows {MOST_STEPS}.",
            "Look at them in two parts; sanding.judge_sequence takes more.",
        )
    # by system: a verdict has its reason in words
    return {"judged": {system: steps}, "cost": sanding.sequence_cost.si(area=area, **known)}


def steps_of(now: Now) -> list[SequenceStep]:
    """The steps with their reasons in the units that are shown, judged again when the units changed."""
    if now.system not in now.judged:
        now.result["judged"].update(bench.compute(**now.values)["judged"])
    steps: list[SequenceStep] = now.judged[now.system]
    return steps


@bench.says
def say(now: Now) -> str:
    told = [f"{step.paper} – {step.verdict}: {step.reason}" for step in steps_of(now) if step.verdict != "go"]
    verdicts = " ".join(told) if told else "No step is too large for its film, on a flat and with fresh paper."
    return (
        f"{verdicts} Sanding the scratches out takes {now.cost.film} of film and {now.cost.strokes} over each spot. "
        f"On {now.area} that is {now.cost.removed_volume} of dust. What flattening the waves takes comes on top."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    strokes, film = now.cost.strokes, now.cost.film
    rows = [
        *(bar(now, step) for step in steps_of(now)),
        Bar("all together", strokes, f"{strokes}, takes {film}", pinned="pinned, all together"),
    ]
    return Bars(strokes.axis([*AXES, 1.1 * strokes.most], "strokes over each spot"), rows)


def bar(now: Now, step: SequenceStep) -> Bar:
    strokes, film = now.cost.strokes.of(step.strokes), now.cost.film.of(step.film)
    label, hatch = f"{step.paper}, {step.verdict}", HATCHES[step.verdict]
    if strokes.high > 0:
        return Bar(label, strokes, f"{strokes}, takes {film} ({step.hint})", hatch)
    if step.hint:
        return Bar(label, 0.0, "as many strokes as its waves need", hatch)
    anew = step.verdict == "go"
    return Bar(label, 0.0, "after it the papers start anew" if anew else "may not fill what lies under it", hatch)
