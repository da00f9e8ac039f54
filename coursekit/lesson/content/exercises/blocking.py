"""Blocking: force and pressure, wavelength and half of it, film before and film taken off, guide coat read."""

from coursekit import sanding
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise

LOWS = "in a low, or in a scratch: block on while there is film on the highs"
HIGHS = "on a high: press harder there"
DIRT = "where the guide coat lay too thick: wipe it off"
HALF = 0.85  # length over wave at which a block cuts half of a wave


SAME, TWICE, HALF_FORCE = "press as before", "press twice as hard", "press half as hard"


@exercise("blocking-1", "A longer block, a wider block")
def larger(draw: Draw) -> Question:
    length = draw.between("block_side", "120 mm", "200 mm", "10 mm")
    width = draw.between("block_side", "60 mm", "80 mm", "5 mm")
    longer = draw.pick(True, False)
    new = (
        f"twice as long, {draw.figure(2 * length, 'block_side')}"
        if longer
        else (f"twice as wide, {draw.figure(2 * width, 'block_side')}")
    )
    return decision(
        f"Your block is {length} long, along the stroke, and {width} wide. You take one that is {new}. The paper is "
        "the same. One stroke is to take as much off each place as before. How hard do you press?",
        SAME if longer else TWICE,
        {
            SAME: "A wider block spreads your force over more panel, and each place meets the same length of paper.",
            TWICE: "The pressure halves. But how much paper runs over a place in one stroke?",
            HALF_FORCE: "A larger face needs more force for the same pressure, not less.",
        },
        [
            "What a stroke takes goes with the pressure times the length of paper that runs over the place.",
            "Pressure is force over face: twice the face, half the pressure.",
            "Is the length of paper that runs over a place the same as before?",
        ],
        "Twice as long: half the pressure, but twice the paper over each spot. The same force does it."
        if longer
        else "Twice as wide: half the pressure and no more paper over a place. Press twice as hard.",
    )


@exercise("blocking-2", "A board for this wave")
def board(draw: Draw) -> Question:
    half = draw.between("wavelength", "100 mm", "250 mm", "5 mm")
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


@exercise("blocking-3", "Go on, or lay more first?")
def more(draw: Draw) -> Question:
    done = draw.pick(50, 100)
    taken = draw.between("removed", "6 µm", "12 µm", "1 µm")
    lows = draw.figure(taken * draw.pick(2.5, 3, 4), "removed")
    keep = draw.figure(15e-6, "film")
    case = draw.pick("on", "lay", "done")
    if case == "done":
        lows = draw.figure(0.9 * taken, "removed")
    laid = draw.figure(lows + keep + {"on": 15e-6, "lay": -8e-6, "done": 25e-6}[case], "film")
    strokes = done * (lows / taken - 1)
    on, lay, stop = "go on with the same paper", "lay another coat before you go on", "stop: the lows are out"
    return decision(
        f"{laid:2} of surfacer were laid. {done} strokes over each spot took {taken} off the highs. The deepest "
        f"low lay {lows:2} below them at first. At least {keep:2} must stay on the highs. What now?",
        {"on": on, "lay": lay, "done": stop}[case],
        {
            on: "Check two things: is there still a low, and does the film last until it is out?",
            lay: "Film laid, less the depth of the low: is that more than what must stay?",
            stop: "Compare what the strokes took with the depth of the low.",
        },
        [
            "A low is out once the highs are down to it.",
            "What is left on the highs then? Film laid, less the depth of the low.",
            "Is that at least what must stay?",
        ],
        {
            "on": f"Down to the low there are {draw.figure(laid - lows, 'film'):2} left, more than {keep:2}. That "
            f"takes "
            f"about {strokes:.0f} strokes more; gauge halfway.",
            "lay": f"Down to the low there would be {draw.figure(laid - lows, 'film'):2} left, less than {keep:2}.",
            "done": f"{taken} are gone and the low was {lows:2}: it is out.",
        }[case],
    )


@exercise("blocking-4", "What the eye lets pass")
def eye(draw: Draw) -> Question:
    half = draw.between("wavelength", "40 mm", "100 mm", "5 mm")
    times = float(draw.pick(3, 4, 5, 6))
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
    strokes = draw.pick(*range(25, 85, 5))
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
