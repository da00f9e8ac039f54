"""Clean and prepare: the order of washing, clear left, strokes that sand out a scratch, pressure of a pad."""

from coursekit import sanding
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise

WASH = "wash, degrease, then the first paper"
SAND = "the first paper, then degrease twice"
DRY = "wipe dry, then the first paper"


@exercise("prep-1", "What comes first")
def order(draw: Draw) -> Question:
    part, paper = (
        draw.pick("door", "front fender (wing)", "trunk lid (boot lid)", "bumper"),
        draw.pick("P500", "P600", "P800"),
    )
    seen = draw.pick(
        "Water beads on it.",
        "It was polished with a silicone polish last summer.",
        "A tyre dressing has been sprayed on near it for years.",
    )
    return Question(
        ask=f"The {part} lies before you, dirty. {seen} The old clear is to be scuffed with {paper}. What comes "
        "first?",
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


@exercise("prep-2", "Clear enough to go on?")
def left(draw: Draw) -> Question:
    clear = draw.between("film", "35 µm", "55 µm", "5 µm")
    under = draw.between("film", "60 µm", "80 µm", "5 µm")
    taken = draw.between("removed", "4 µm", "10 µm", "1 µm")
    more = draw.between("removed", "3 µm", "8 µm", "1 µm")
    before, after = clear + under, clear + under - taken
    on = draw.pick(True, False)
    keep = draw.figure(clear - taken - more + (-4e-6 if on else 4e-6), "film")
    go, stop, plenty = (
        "go on with the final grit",
        "stop, and plan to clear the whole panel",
        "go on: the gauge shows plenty",
    )
    return decision(
        f"Your gauge reads {draw.figure(before, 'film')} on the old paint and {draw.figure(after, 'film')} after "
        f"scuffing. Clear was {clear} of it, by a chip under the microscope. The final grit takes {more} more. Your "
        f"plan keeps at least {keep:2} of the old clear. What do you do?",
        go if on else stop,
        {
            go: "Clear at first, less what went, less what the final grit takes: that is under what you keep.",
            stop: "Clear at first, less what went, less what the final grit takes: that is still enough.",
            plenty: "The gauge reads down to the steel. Most of that is not clear.",
        },
        [
            "The difference of the two readings went from the top: from the clear.",
            "Take off what the final grit takes, too.",
            "Compare with what you keep.",
        ],
        f"{clear} − {taken} − {more} = {draw.figure(clear - taken - more, 'film'):2}; you keep {keep:2}.",
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
        f"{stroke} a stroke. How many strokes over each spot sand out the deepest scratch?",
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


@exercise("prep-4", "A larger pad")
def pressure(draw: Draw) -> Question:
    small, large = (
        inches * (0.025 if draw.system == "metric" else 0.0254) for inches in draw.pick((3, 6), (4, 6), (3, 5))
    )
    weight = draw.between("weight", "1000 g", "3000 g", "250 g")
    times = (large / small) ** 2
    right, line, same, less = (draw.figure(weight * by, "weight") for by in (times, large / small, 1.0, 1 / times))
    return decision(
        f"On a kitchen scale your sander shows {weight} with a pad {draw.figure(small, 'block_side')} in diameter. "
        f"You "
        f"fit a pad of {draw.figure(large, 'block_side')}. The pressure on the panel is to stay the same. What must "
        "the scale show?",
        f"{right:3}",
        {
            f"{less:3}": "A larger face needs more force for the same pressure, not less.",
            f"{same:3}": "The same force on a larger face is less pressure.",
            f"{line:3}": "You took the diameter once. The face grows with its square.",
            f"{right:3}": "",
        },
        [
            "Pressure is force over face.",
            "The face of a disc goes with its diameter squared.",
            "Force in proportion.",
        ],
        f"({draw.figure(large, 'block_side')} ÷ {draw.figure(small, 'block_side')})² = {times:.3g}; × {weight} = "
        f"{right:3}.",
    )
