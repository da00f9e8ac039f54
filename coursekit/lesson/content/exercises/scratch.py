"""Scratch: which paper it is, the pressure of the hand, strokes that sand out a scratch, and the film that stays."""

import math

from coursekit import sanding
from coursekit.constants import GRAVITY
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise
from coursekit.sanding import Block

NUMBERS = {
    "CAMI": (240, 280, 320, 360, 400, 500, 600, 800, 1000),
    "JIS": (280, 320, 360, 400, 500, 600, 700, 800, 1000),
}


@exercise("scratch-1", "Which paper is like it")
def which_paper(draw: Draw) -> Question:
    scale, number = draw.pick("CAMI", "JIS"), draw.pick(320, 360, 400, 500, 600, 800, 1000)
    wanted, same_number = f"P{number}", f"{scale} {number}"

    def grains(grade: str) -> str:
        return f"{draw.figure(sanding.grain_size.si(grade), 'grain_size'):3}"

    near = sanding.same_size.si(wanted, scale).grade
    known = [f"{scale} {n}" for n in NUMBERS[scale]]
    place = known.index(near)
    lowest = max(place - draw.pick(1, 2), 0)
    choices = [grade for grade in known if grade in {*known[lowest : place + draw.pick(2, 3)], same_number}]

    def other(grade: str) -> str:
        ratio = float(sanding.grain_size.si(grade) / sanding.grain_size.si(wanted))
        than = "coarser" if ratio > 1 else "finer"
        return f"{grade} has grains of {grains(grade)}: {than} by {abs(ratio - 1):.0%}. Another lies nearer."

    return Question(
        ask=f"The plan says {wanted}: grains of {grains(wanted)} on average. The drawer has only "
        f"{', '.join(f'{grade} ({grains(grade)})' for grade in choices)}. Which of them scratches most nearly like "
        f"{wanted}?",
        answer=near,
        choices=choices,
        slips=[
            (
                same_number,
                f"You kept the number. On another scale the same number is another grain: {grains(same_number)}.",
            ),
            *((grade, other(grade)) for grade in choices if grade not in (near, same_number)),
        ],
        hints=[
            "Go by the size of the grains, not by the number.",
            "The grains stand in brackets; the bench at the top draws them.",
            f"Look for the one nearest to {grains(wanted)}.",
        ],
        way=f"{near} has {grains(near)}, the nearest to {grains(wanted)} on its scale.",
    )


@exercise("scratch-2", "The pressure under a round pad")
def pad_pressure(draw: Draw) -> Question:
    weight = draw.between("weight", "1000 g", "3000 g", "100 g")
    diameter = draw.between("block_side", "75 mm", "150 mm", "25 mm")
    force, pad = weight * GRAVITY, Block(diameter, diameter, disc=True)
    pressure = draw.figure(float(sanding.block_pressure.si(force, pad)), "pressure")
    slips = [
        (pressure / 4, "You took the diameter for the radius: the pad is four times smaller than that."),
        (
            float(sanding.block_pressure.si(force, Block(diameter, diameter))),
            "That is a square pad of that side. The round one has less face, so the pressure is higher.",
        ),
        (
            force / (math.pi * diameter),
            "That is the force over the way round the pad, or over its diameter. Pressure is force over area: the "
            "diameter counts twice.",
        ),
    ]
    if draw.system == "metric":
        slips.append(
            (pressure / GRAVITY, "You took the kilograms of the scale for newtons: 1 kg presses with 9.8 N.")
        )
    return Question(
        ask=f"You press a round pad of {diameter} diameter on a kitchen scale, as you do when you sand. It shows "
        f"{weight}. How high is the pressure under the pad?",
        answer=pressure,
        slips=slips,
        hints=[
            "A scale shows mass; 1 kg presses with 9.8 N."
            if draw.system == "metric"
            else "A scale that shows 1 lb is pressed with 1 lbf.",
            "The face of the pad is a circle: 3.14 times its radius squared, and the radius is half the diameter.",
            "Pressure is force over area. 1 N on 1 m² is 1 Pa; 1000 Pa are 1 kPa."
            if draw.system == "metric"
            else "Pressure is force over area: lbf over square inches is psi.",
        ],
        way=f"{draw.figure(force, 'force'):3} on a circle of {draw.figure(diameter / 2, 'block_side'):3} radius: "
        f"{pressure:3}.",
    )


@exercise("scratch-3", "Gauge, 50 strokes, gauge")
def strokes_left(draw: Draw) -> Question:
    before = draw.between("film", "70 µm", "110 µm", "10 µm")
    removed = draw.between("removed", "3 µm", "8 µm", "1 µm")
    previous, grade = draw.pick(("P80", "P180"), ("P120", "P240"), ("P180", "P320"), ("P150", "P240"))
    deepest = draw.between("scratch_depth", "2 µm", "7 µm", "0.5 µm")
    force, block, hardness, done = 20.0, Block(0.125, 0.07), 150e6, 50.0
    pressure = sanding.block_pressure.si(force, block)
    wear = sanding.wear_coefficient_measured.si(removed, pressure, done * block.sliding, grade, hardness)
    strokes = draw.figure(
        float(sanding.strokes_to_remove.si(deepest, force, block, grade, hardness, wear)), "strokes"
    )
    return Question(
        ask=f"On a practice panel your gauge read {before} before and {draw.figure(before - removed, 'film')} after "
        f"{done:.0f} strokes of {grade}. On the door the deepest scratches of {previous} go down {deepest}. With the "
        "same paper, hand and block, how many strokes over each spot sand them out?",
        answer=strokes,
        within=max(0.02 * strokes, 0.6),
        slips=[
            (
                done * removed / deepest,
                "You turned the share round: a scratch that is deeper than what 50 strokes took needs more than 50, "
                "a shallower one fewer.",
            ),
            (2 * strokes, "That is twice as many. There and back is two strokes, but both count already."),
            (strokes / 2, "That is half as many: perhaps you counted there and back as one."),
            (
                done * deepest / (before - removed),
                "You divided by the film that is left. What counts is what the 50 strokes took: before less after.",
            ),
        ],
        hints=[
            "First: how much film did the 50 strokes take?",
            "Then: how much does one stroke take?",
            "So many strokes as it takes to go as deep as the scratch.",
        ],
        way=f"50 strokes took {removed}, one takes {draw.figure(removed / done, 'removed'):3}; {deepest} need "
        f"{strokes:3}.",
    )


@exercise("scratch-4", "Base next, or more surfacer?")
def film_that_stays(draw: Draw) -> Question:
    wet = draw.between("wet_film", "100 µm", "200 µm", "10 µm")
    solids = draw.between("volume_solids", "30 %", "55 %", "5 %")
    dry = draw.figure(wet * solids, "film")
    deepest = draw.between("scratch_depth", "2 µm", "5 µm", "0.5 µm")
    keep = draw.figure(12e-6, "film")
    enough = draw.pick(True, False)
    taken = draw.figure(dry - deepest - keep - (8e-6 if enough else -8e-6), "removed")
    base, coat, wetter = "base next", "one more coat of surfacer", "base next: the comb showed plenty"
    return decision(
        f"You laid one coat of surfacer, {wet} by the wet-film comb, with {solids} volume solids. Blocking took "
        f"{taken:2} off. The final grit's deepest scratches go down {deepest}. At least {keep:2} of sound film must "
        "stay below them. What comes next?",
        base if enough else coat,
        {
            base: "Work from the dry film: less what blocking took, less the scratches. It is not enough.",
            coat: "Work from the dry film: less what blocking took, less the scratches. It is enough.",
            wetter: "The comb reads wet film. Most of it has evaporated since.",
        },
        [
            "First the dry film: wet film times volume solids.",
            "Take off what blocking took.",
            "Take off the deepest scratches as well, and compare.",
        ],
        f"{wet} × {solids} = {dry:3} dry; less {taken:2} less {deepest} leaves "
        f"{draw.figure(dry - taken - deepest, 'film'):2}; {keep:2} must stay.",
    )
