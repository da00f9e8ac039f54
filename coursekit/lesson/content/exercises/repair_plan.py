"""Plan a repair: backwards from the finish, what to buy, when the colour may begin, and a window that closes."""

from coursekit import film
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise


@exercise("repair-plan-1", "Backwards from the finish")
def backwards(draw: Draw) -> Question:
    kept = draw.between("film", "12 µm", "20 µm", "2 µm")
    blocked = draw.between("removed", "30 µm", "50 µm", "5 µm")
    finished = draw.between("removed", "3 µm", "6 µm", "1 µm")
    solids = draw.pick(0.4, 0.45, 0.5, 0.55)
    coats = draw.pick(2, 3)
    dry = kept + blocked + finished
    answer = draw.figure(float(film.wet_film.si(dry / coats, solids)), "wet_film")
    return Question(
        ask=f"Where it is thinnest, {kept} of surfacer must be left under the base. Your block takes {blocked}, the "
        f"last paper {finished}. You lay it in {coats} coats, {solids:.0%} volume solids. How wet must one coat be, "
        "by the comb?",
        answer=answer,
        slips=[
            (dry / coats, "That is the dry film of one coat. The comb reads it while its solvent is in it."),
            (dry / solids, "That is all of it in one coat."),
            (dry / coats * solids, "You multiplied by the solids. Wet is thicker than dry."),
            ((kept + blocked) / coats / solids, "What the last paper takes is forgotten."),
            (kept / coats / solids, "That is before anything is sanded off. What the papers take must be laid, too."),
        ],
        hints=[
            "Begin at the end: what must be left?",
            "Then put on top what the papers take off: that is the dry film to be laid in all.",
            "One coat of it, over the solids, is the wet film.",
        ],
        way=f"({kept} + {blocked} + {finished}) ÷ {coats} ÷ {solids:.0%} = {answer:3}.",
    )


@exercise("repair-plan-2", "What to buy")
def buy(draw: Draw) -> Question:
    one = draw.between("paint_volume", "80 mL", "160 mL", "5 mL")
    left = draw.between("paint_volume", "20 mL", "40 mL", "5 mL")
    coats = draw.pick(2, 3)
    reserve = draw.pick(0.1, 0.2, 0.25)
    answer = draw.figure(coats * (one + left) * (1 + reserve), "paint_volume")
    return Question(
        ask=f"Each of {coats} coats takes {one} ready to spray, is mixed fresh, and leaves {left} in cup and gun. "
        f"You want {reserve:.0%} in reserve over all you mix. How much ready-to-spray paint do you plan to buy?",
        answer=answer,
        slips=[
            (coats * one * (1 + reserve), "What stays in cup and gun is forgotten: it must be mixed all the same."),
            ((coats * one + left) * (1 + reserve), "Each coat is mixed fresh, so each leaves its own remainder."),
            (coats * (one + left), "That is without the reserve."),
            ((one + left) * (1 + reserve), "That is one coat."),
        ],
        hints=[
            "What has to be in the cup for one coat?",
            "Times the coats: that is all you mix.",
            "The reserve comes on top of all of it.",
        ],
        way=f"{coats} × ({one} + {left}) × {1 + reserve:g} = {answer:3}.",
    )


@exercise("repair-plan-3", "Base today, or tomorrow?")
def begin(draw: Draw) -> Question:
    spray = draw.between("elapsed", "4 min", "8 min", "1 min")
    flash = draw.between("elapsed", "10 min", "20 min", "5 min")
    hard = draw.between("elapsed", "120 min", "240 min", "30 min")
    block = draw.between("elapsed", "60 min", "150 min", "15 min")
    clean = draw.between("elapsed", "15 min", "25 min", "5 min")
    whole = draw.figure(2 * spray + flash + hard + block + clean, "elapsed")
    base = draw.figure(3600.0, "elapsed")
    today = draw.pick(True, False)
    until = draw.figure(round((whole + base + (40 if today else -40) * 60) / 300) * 300, "elapsed")
    now, later, wet = "base and clear today", "wash today, base tomorrow", "skip the washing and lay base today"
    return decision(
        f"You pull the trigger for the first of two coats of surfacer. A coat takes {spray}, the flash between them "
        f"{flash}. From the last coat it needs {hard} until it is dry to sand, then {block} of blocking and {clean} "
        f"of washing. Base and clear take {base}. You have {until} left today. What do you plan?",
        now if today else later,
        {
            now: "Add up the row, base and clear too. It does not fit.",
            later: "Add up the row, with one flash. It fits.",
            wet: "Base over sanding dust and finger marks craters and peels.",
        },
        [
            "Write it down as a row: coat, flash, coat, dry, block, wash, base and clear.",
            "There is one flash, because there are two coats.",
            "Compare the sum with what is left of the day.",
        ],
        f"{spray} + {flash} + {spray} + {hard} + {block} + {clean} = {whole}; with base and clear "
        f"{draw.figure(whole + base, 'elapsed')}. You have {until}.",
    )


WAIT, NOW = "wait, it is not dry enough yet", "spray the next coat now"
LATER, DULL = "wait until it is dry to sand, scuff it all over, then spray", "scuff it all over now, then spray"


@exercise("repair-plan-4", "A window that closes")
def window(draw: Draw) -> Question:
    opens, closes, hard = draw.pick(15, 20, 30), draw.pick(60, 90, 120), draw.pick(16, 18, 24)
    answer = draw.pick(WAIT, NOW, LATER, DULL)
    minutes = {
        WAIT: draw.pick(5, 8, 10),
        NOW: draw.pick(35, 40, 50),
        LATER: draw.pick(180, 240, 300),
        DULL: draw.pick(28, 30, 36) * 60,
    }[answer]
    since = f"{minutes} min" if minutes < 120 else f"{minutes // 60} h"
    why = {
        WAIT: "it has not even opened: solvent would be shut in, and the coat below could lift.",
        NOW: "it is open: the coats still bite into each other.",
        LATER: "it has closed, and the film is too soft for a paper: neither spraying nor sanding will do now.",
        DULL: "it has long closed, and the film is hard: without a key nothing would hold on it.",
    }
    return Question(
        ask=f"The sheet of the clear, for the temperature of your garage: recoat after {opens} min and before "
        f"{closes} min; dry to sand after {hard} h. You were called away, and the first coat has been on for "
        f"{since}. What do you plan?",
        answer=answer,
        choices=(WAIT, NOW, LATER, DULL),
        slips=[
            (
                choice,
                {
                    WAIT: "It is dry enough for the next coat, or long past that.",
                    NOW: "Look at both ends of the window: is it open at that time?",
                    LATER: "Look at the window and at the time to sand once more: is there anything to wait for?",
                    DULL: "A paper needs a film that is hard, and a reason to be used.",
                }[choice],
            )
            for choice in (WAIT, NOW, LATER, DULL)
            if choice != answer
        ],
        hints=[
            "Draw a line with three marks: recoat after, recoat before, dry to sand.",
            "Where on it are you?",
            "Inside the window: spray. Before it: wait. After it you must scuff, and that needs hard film.",
        ],
        way=f"After {since}: {why[answer]}",
    )
