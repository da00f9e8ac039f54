"""Clean and prepare: the order of washing, clear left, strokes that sand out a scratch, pressure of a pad."""

from coursekit import sanding
from coursekit.constants import GRAVITY
from coursekit.lesson.practice.exercise import Draw, Question, exercise
from coursekit.sanding import Block

WASH = "wash, degrease, then the first paper"
SAND = "the first paper, then degrease twice"
DRY = "wipe dry, then the first paper"


@exercise("prep-1", "What comes first")
def order(draw: Draw) -> Question:
    part = draw.pick("door", "wing", "boot lid", "bumper")
    seen = draw.pick(
        "Water beads on it.",
        "It was polished with a silicone polish last summer.",
        "A tyre dressing has been sprayed on near it for years.",
    )
    return Question(
        ask=f"The {part} lies before you, dirty. {seen} The old clear is to be scuffed with P600. What comes first?",
        answer=WASH,
        choices=(WASH, SAND, DRY),
        slips=[
            (
                SAND,
                "The paper has then rubbed wax and silicone into the scratches. Wipes reach them there only badly.",
            ),
            (DRY, "A dry cloth moves wax about; it does not take it off."),
        ],
        hints=[
            "What does the paper do with what lies on the surface?",
            "Where can a cloth reach, and where not?",
            "What has to be off before the first scratch?",
        ],
        way="Soap and water, then wax-and-grease remover with two cloths, then the paper; and once more after it.",
    )


@exercise("prep-2", "How much clear is left")
def left(draw: Draw) -> Question:
    clear = draw.between("film", "35 µm", "55 µm", "5 µm")
    under = draw.between("film", "60 µm", "80 µm", "5 µm")
    taken = draw.between("removed", "4 µm", "12 µm", "1 µm")
    before, after = clear + under, clear + under - taken
    answer = draw.figure(clear - taken, "film")
    return Question(
        ask=f"Your gauge reads {draw.figure(before, 'film')} on the old paint, and {draw.figure(after, 'film')} "
        f"after it was dulled. From a chip under the microscope you know the clear was {clear} of that. How much "
        "clear is left?",
        answer=answer,
        slips=[
            (taken, "That is the film that was taken off: before less after."),
            (after, "That is all the paint down to the steel. Only a part of it is clear."),
            (clear, "That is the clear before."),
            (under, "That is what lies under the clear."),
        ],
        hints=[
            "The gauge reads everything down to the steel. What does the difference of two readings say?",
            "What went, went from the top: from the clear.",
            "Clear before, less what went.",
        ],
        way=f"{draw.figure(before, 'film')} − {draw.figure(after, 'film')} = {taken}; {clear} − that = {answer}.",
    )


@exercise("prep-3", "Strokes of the next paper")
def strokes(draw: Draw) -> Question:
    number = draw.pick(240, 280, 320)  # of the finer ones the two slips fall together
    share, deep = draw.pick(0.055, 0.06, 0.065), draw.pick(1.4, 1.5)
    stroke = draw.between("removed", "0.05 µm", "0.08 µm", "0.01 µm")
    paper, other = (sanding.read_grade(f"{scale}{number}").grain_size for scale in ("P", "CAMI "))
    deepest = draw.figure(share * deep * paper, "scratch_depth")
    answer = deepest / stroke
    return Question(
        ask=f"Somebody before you sanded with P{number}: that is what stands on the paper. Lists say: {number} has "
        f"grains of {draw.figure(paper, 'grain_size'):3} (P) or {draw.figure(other, 'grain_size'):3} (CAMI). Its "
        f"mean scratch is {draw.percent(share)} of the grain deep, its deepest {deep:g} times that. Your 600 takes "
        f"{stroke} a stroke. How many strokes over each place sand out the deepest scratch?",
        answer=answer,
        name="strokes",
        within=0.03 * answer,
        slips=[
            (answer * other / paper, "You read the P as CAMI: its grains are smaller, and so is the scratch."),
            (answer / deep, "That sands out the mean scratch. The deepest are what you see."),
            (paper / stroke, "That takes off the height of a whole grain. Only a small share of it sinks in."),
            (2 * answer, "There and back is two strokes, and both take film off: no need to double."),
        ],
        hints=[
            "Which list counts? Look at the letter.",
            "Deepest scratch: share times grain, times how much deeper.",
            "Divide by what one stroke takes off, both in the same unit.",
        ],
        way=f"{draw.figure(paper, 'grain_size'):3} × {draw.percent(share)} × {deep:g} = {deepest:3}; ÷ {stroke} = "
        f"{answer:.3g} strokes.",
    )


@exercise("prep-4", "Pressure under the pad")
def pressure(draw: Draw) -> Question:
    across = draw.between("block_side", "75 mm", "150 mm", "25 mm")
    weight = draw.between("weight", "1000 g", "3000 g", "500 g")
    force = draw.figure(weight * GRAVITY, "force")
    answer = draw.figure(float(sanding.block_pressure.si(force, Block(across, across, disc=True))), "pressure")
    return Question(
        ask=f"You hold the sander with its round pad, {across} in diameter, on a kitchen scale as you do when you "
        f"sand. It shows {weight}. What is the mean pressure under the pad?",
        answer=answer,
        within=0.03 * answer,
        slips=[
            (answer / 4, "You took the diameter for the radius: the pad is four times too large."),
            (answer / GRAVITY, "A kilogram is not a newton: it presses with 9.8 of them."),
            (answer * 0.785398, "That is a square pad. A round one has a smaller face."),
            (
                answer / 4 / GRAVITY,
                "Two things: half of the diameter is the radius, and a kilogram presses with 9.8 N.",
            ),
        ],
        hints=[
            "Pressure is force over face.",
            "The face of a disc: π times its radius squared.",
            "A kilogram on the scale is 9.8 N; a pound is one pound-force.",
        ],
        way=f"Force {force:3} over the face of the disc: {answer:3}.",
    )
