"""Blocking: force and pressure, wavelength and half of it, film before and film taken off, guide coat read."""

from coursekit import sanding
from coursekit.constants import GRAVITY
from coursekit.lesson.practice.exercise import Draw, Question, exercise
from coursekit.sanding import Block

LOWS = "in a low, or in a scratch: block on while there is film on the highs"
HIGHS = "on a high: press harder there"
DIRT = "where the guide coat lay too thick: wipe it off"
HALF = 0.85  # length over wave at which a block cuts half of a wave


@exercise("blocking-1", "Pressure under your block")
def pressure(draw: Draw) -> Question:
    length = draw.between("block_side", "120 mm", "400 mm", "20 mm")
    width = draw.between("block_side", "60 mm", "80 mm", "10 mm")
    weight = draw.between("weight", "1000 g", "3000 g", "250 g")
    force = draw.figure(weight * GRAVITY, "force")
    answer = draw.figure(
        float(sanding.block_pressure.si(force, Block(max(length, width), min(length, width)))), "pressure"
    )
    return Question(
        ask=f"On a kitchen scale your hand presses the block with {weight}. The block is {length} long and {width} "
        "wide. What is the pressure under it?",
        answer=answer,
        within=0.03 * answer,
        slips=[
            (answer / GRAVITY, "You took kilograms for newtons: a kilogram presses with 9.8 N."),
            (2 * answer, "You took half of the face."),
            (answer * GRAVITY, "You multiplied by 9.8 twice."),
        ],
        hints=[
            "Pressure is force over face.",
            "What the scale shows is a mass: turn it into a force first.",
            "1 kg is 9.8 N, 1 lb is 1 lbf. 1000 N on a square metre are 1 kPa.",
        ],
        way=f"{force:3} over {length} × {width}: {answer:3}.",
    )


@exercise("blocking-2", "A board for this wave")
def board(draw: Draw) -> Question:
    half = draw.between("wavelength", "100 mm", "250 mm", "25 mm")
    answer = draw.figure(HALF * 2 * half, "block_length")
    return Question(
        ask="Guide coat is left in two lows; between the middle of a low and the top of the high beside it you "
        f"measure {half}. A block cuts half of a wave when it is {HALF} times as long as the wave. How long a board "
        "does this take?",
        answer=answer,
        within=0.03 * answer,
        slips=[
            (answer / 2, "From a hollow to the next crest is half of a wave. A whole one goes from crest to crest."),
            (2 * half / HALF, "The board is shorter than the wave: times, not divided by."),
            (2 * half, "That is the wave. The board may be a little shorter."),
            (half / HALF, "Half of the wave, and divided where it should be multiplied."),
        ],
        hints=["What is a wavelength?", "Crest to crest is twice crest to hollow.", "Then times the number given."],
        way=f"2 × {half} × {HALF} = {answer:3}.",
    )


@exercise("blocking-3", "How many strokes more")
def more(draw: Draw) -> Question:
    done = float(draw.pick(50, 100))
    before = draw.between("film", "380 µm", "460 µm", "20 µm")
    taken = draw.between("removed", "4 µm", "10 µm", "1 µm")
    wanted = draw.figure(taken * draw.pick(2.5, 3, 4), "removed")
    answer = (wanted - taken) / (taken / done)
    return Question(
        ask=f"Over the filler your gauge read {before} before blocking, and {draw.figure(before - taken, 'film')} "
        f"after {done:.0f} strokes over each place. The lows want {wanted} taken off in all. How many strokes more, "
        "with the same paper and hand?",
        answer=answer,
        name="strokes",
        within=0.03 * answer,
        slips=[
            (wanted / (taken / done), "That is all strokes. Some of them are done."),
            (done * wanted / before, "You took the film before for the film taken off."),
            (done, "You repeated the strokes done; look how much they took."),
        ],
        hints=["Before less after: what went?", "What does one stroke take?", "What is still wanted, over that."],
        way=f"{taken} went in {done:.0f}; {draw.figure(wanted - taken, 'removed'):3} are still wanted: {answer:.0f} "
        "strokes, and fewer while the paper is fresh. Gauge again halfway.",
    )


@exercise("blocking-4", "What the eye lets pass")
def eye(draw: Draw) -> Question:
    half = draw.between("wavelength", "40 mm", "100 mm", "10 mm")
    times = float(draw.pick(3, 5, 10))
    strict = draw.figure(float(sanding.visible_wave.si(half).strict), "amplitude")
    answer = draw.figure(times * float(sanding.visible_wave.si(2 * half).strict), "amplitude")
    return Question(
        ask=f"From hollow to crest a wave runs {half}. A strict eye sees waves {half} from crest to crest from "
        f"{strict:3} up, and longer ones in proportion to their length. Your eye lets {times:g} times as much pass. "
        "How high may this wave be, from its middle to its crest?",
        answer=answer,
        within=0.03 * answer,
        slips=[
            (answer / 2, "You took half of the wave for the whole: crest to crest is twice that."),
            (2 * answer, "From the middle to the crest, not from hollow to crest."),
            (answer / times, "That is the strict eye's limit."),
            (strict, "That is the strict eye's limit, for a wave half as long."),
        ],
        hints=[
            "How long is the whole wave?",
            "Twice the length, twice the height that shows.",
            "Then times what your eye lets pass.",
        ],
        way=f"2 × {strict:3} × {times:g} = {answer:3}.",
    )


@exercise("blocking-5", "Reading the guide coat")
def reading(draw: Draw) -> Question:
    strokes = draw.pick(30, 40, 50, 60, 80)
    size = draw.pick("a coin", "an egg", "your palm", "a hand")
    return Question(
        ask=f"After {strokes} strokes of a long board most of the guide coat is gone. A dark spot the size of {size} "
        "is left. Where is it, and what now?",
        answer=LOWS,
        choices=(LOWS, HIGHS, DIRT),
        slips=[
            (HIGHS, "On a high the paper was first: there it is clean first."),
            (DIRT, "The board rides over what lies low and never reached it."),
        ],
        hints=[
            "Where does a stiff board touch, where not?",
            "What is clean was touched.",
            "Dark was not touched: so it lies lower.",
        ],
        way="Dark left is low or a scratch; gone first is high. Never chase a dark spot with a finger: that digs a "
        "hole.",
    )
