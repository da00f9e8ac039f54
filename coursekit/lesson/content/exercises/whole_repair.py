"""Whole repair: the ledger of the film, which step stops it, the band of the hands, paint for the thin recoat."""

from coursekit import film
from coursekit.lesson.practice.exercise import Draw, Question, exercise


@exercise("whole-repair-1", "The ledger of the surfacer")
def ledger(draw: Draw) -> Question:
    wet = draw.between("wet_film", "80 µm", "120 µm", "10 µm")
    solids = draw.between("volume_solids", "45 %", "55 %", "5 %")
    blocked = draw.between("removed", "40 µm", "60 µm", "5 µm")
    thin = draw.between("film", "15 µm", "25 µm", "5 µm")
    finished = draw.between("removed", "2 µm", "5 µm", "1 µm")
    laid = 2 * wet * solids
    answer = draw.figure(laid - blocked + thin - finished, "film")
    return Question(
        ask=f"Two coats of surfacer, each {wet} wet with {solids} volume solids. Blocking took {blocked} off. A thin "
        f"recoat left {thin} dry, and the last paper took {finished}. How much surfacer is under the base?",
        answer=answer,
        within=0.03 * answer,
        slips=[
            (laid / 2 - blocked + thin - finished, "One coat is forgotten: there were two before blocking."),
            (
                2 * wet - blocked + thin - finished,
                "You counted wet film as dry. Solvent had left before the block came.",
            ),
            (laid + thin, "That is the film laid. What the papers took off must go."),
            (laid - blocked, "That is before the thin recoat."),
            (laid - blocked + thin, "What the last paper took is forgotten."),
        ],
        hints=[
            "Keep a ledger: laid, off, laid, off.",
            "Each coat lays wet film times solids; there were two.",
            "Then less blocking, plus recoat, less the last paper.",
        ],
        way=f"2 × {draw.figure(wet * solids, 'film'):3} − {blocked} + {thin} − {finished} = {answer:3}.",
    )


ORDER = ("the cleaning", "the wait before blocking", "the guide coat", "the last paper")


@exercise("whole-repair-2", "Which step spoils it?")
def spoiled(draw: Draw) -> Question:
    wrong = draw.pick(*ORDER)
    minutes = draw.pick(40, 50, 60, 75)
    strokes = draw.pick(300, 400, 500)
    steps = {
        "the cleaning": ("wash and degrease", "sand the old paint with P80, then degrease"),
        "the wait before blocking": (
            "wait overnight (the sheet says 3 h at 20 °C)"
            if draw.system == "metric"
            else "wait overnight (the sheet says 3 h at 68 °F)",
            f"wait {minutes} min (the sheet says 3 h)",
        ),
        "the guide coat": (
            f"dust a guide coat and block with P320, {strokes} strokes",
            f"block with P320, {strokes} strokes, by eye",
        ),
        "the last paper": ("finish with P600", "finish with P240"),
    }
    told = {name: pair[name == wrong] for name, pair in steps.items()}
    return Question(
        ask=f"A friend writes down a repair. First: {told['the cleaning']}. Then: spray two coats of surfacer; "
        f"{told['the wait before blocking']}. Then: {told['the guide coat']}. At the end: {told['the last paper']}; "
        "clean; base and clear. What do you fix first?",
        answer=wrong,
        choices=ORDER,
        slips=[
            (
                name,
                {
                    "the cleaning": "It is degreased before the first abrasive: that is as it should be.",
                    "the wait before blocking": "The surfacer had more time than its sheet wants.",
                    "the guide coat": "There is a guide coat: what stays dark is low.",
                    "the last paper": "P600 is what usually goes under base.",
                }[name],
            )
            for name in ORDER
            if name != wrong
        ],
        hints=[
            "Go through it step by step and ask each time: is it ready for the next one?",
            "Four things are usual: clean before the first abrasive, hard before sanding, a guide coat before the "
            "block, a fine paper before colour.",
            "Which of the four is missing?",
        ],
        way=f"Here {wrong} is not as it should be: {steps[wrong][1]}. Usual is: {steps[wrong][0]}.",
    )


SAFE, FEWER, LUCK = "lay more or sand less", "nothing: the middle is enough", "nothing: the upper end is enough"


@exercise("whole-repair-3", "Nineteen hands of twenty")
def hands(draw: Draw) -> Question:
    middle = draw.between("film", "12 µm", "20 µm", "1 µm")
    spread = draw.pick(0.3, 0.4, 0.5)
    low, high = middle * (1 - spread), middle * (1 + spread)
    wanted = draw.figure(low * draw.pick(0.75, 0.85, 1.15, 1.25), "film")
    enough = wanted <= low
    answer = "nothing: the lower end is enough" if enough else SAFE
    other = SAFE if enough else "nothing: the lower end is enough"
    return Question(
        ask="A hundred hands play your plan. Surfacer left where it is thinnest: 5 % of them stay below "
        f"{draw.figure(low, 'film'):3}, half below {middle:3}, 95 % below {draw.figure(high, 'film'):3}. You want at "
        f"least {wanted:2} to be left by 19 hands of 20. What do you change?",
        answer=answer,
        choices=(SAFE, "nothing: the lower end is enough", FEWER, LUCK),
        slips=[
            (
                other,
                "Compare what you want with the lower end once more: 19 of 20 are above it."
                if enough
                else "Compare once more: more than one hand of twenty stays below what you want.",
            ),
            (FEWER, "In the middle half of the hands have less. You may be in that half."),
            (LUCK, "Only one hand of twenty gets as far up as that."),
        ],
        hints=[
            "19 of 20 is 95 %. Which end of the band do they stand above?",
            "5 % are below the lower end, so 95 % are above it.",
            "Is what you want below that end or above it?",
        ],
        way=f"19 of 20 have at least {draw.figure(low, 'film'):3}; you want {wanted:2}: {answer}.",
    )


@exercise("whole-repair-4", "Paint for the thin recoat")
def paint(draw: Draw) -> Question:
    area = draw.between("area", "0.3 m²", "0.6 m²", "0.1 m²")
    dry = draw.between("dry_film", "15 µm", "25 µm", "5 µm")
    solids, landed = draw.pick(0.4, 0.42, 0.44), draw.pick(0.5, 0.55, 0.6)
    left = draw.between("mixed_volume", "15 mL", "30 mL", "5 mL")
    sprayed = draw.figure(float(film.paint_needed.si(area, dry, solids, landed)), "mixed_volume")
    answer = draw.figure(sprayed + left, "mixed_volume")
    return Question(
        ask=f"The recoat covers {area} with {dry} dry. As mixed the surfacer has {draw.percent(solids)} volume "
        f"solids, {draw.percent(landed)} of the solids land, and {left} stay in cup and gun. How much do you mix?",
        answer=answer,
        slips=[
            (area * dry / landed + left, "That is dry film: it needs more than its own volume of liquid paint."),
            (area * dry / solids + left, "The loss is forgotten: not all of it lands."),
            (sprayed, "What stays in cup and gun is forgotten."),
            (area * dry / solids * landed + left, "You multiplied by what lands: loss makes the need larger."),
        ],
        hints=[
            "First the volume of dry film: area times thickness.",
            "Over the solids it is liquid paint, over the share that lands it is what leaves the gun.",
            "What stays in cup and gun must be mixed too.",
        ],
        way=f"{area} × {dry} ÷ {draw.percent(solids)} ÷ {draw.percent(landed)} = {sprayed:3}, and {left} on top: "
        f"{answer:3}.",
    )
