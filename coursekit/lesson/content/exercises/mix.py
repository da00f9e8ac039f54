"""Mixing: parts, the scale, what "+10 %" means, and pot life."""

from coursekit import mixing
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise


@exercise("mix-1", "Parts into the cup")
def hardener_volume(draw: Draw) -> Question:
    ratio = draw.pick("4:1:1", "3:1:1", "2:1:1", "4:1:2")
    paint, hardener, reducer = (float(part) for part in ratio.split(":"))
    total = draw.between("total", "200 mL", "800 mL", "20 mL")
    needed = mixing.batch.si(ratio, total).volumes[1]
    return Question(
        ask=f"The sheet says {ratio} by volume, paint : hardener : reducer. You want {total} ready to spray. How "
        "much hardener goes in?",
        answer=needed,
        name="part_volume",
        slips=[
            (total * hardener / (paint + hardener), "The reducer is forgotten: it counts as parts of the whole too."),
            (
                total * hardener / paint,
                f"You took 1 to {paint:g} of the whole. It is 1 to {paint:g} of the paint, and the paint is only a "
                "part of the whole.",
            ),
            (total * hardener / 100, "You read the parts as percent. One part is not one percent."),
            (total * paint / (paint + hardener + reducer), "That is the paint. The hardener is the second number."),
        ],
        hints=[
            "Add up the parts: how many are there in the whole cup?",
            "One part is the whole volume divided by all the parts.",
            "The hardener is one of them.",
        ],
        way=f"{paint:g} + {hardener:g} + {reducer:g} = {paint + hardener + reducer:g} parts; {total} ÷ "
        f"{paint + hardener + reducer:g} = {draw.figure(needed, 'part_volume'):3}.",
    )


@exercise("mix-2", "Too much paint in the cup")
def scale(draw: Draw) -> Question:
    parts = draw.pick(4, 2, 3)
    total = draw.between("total", "200 mL", "600 mL", "40 mL")
    paint, hardener = (
        draw.between("density", low, high, "0.05 kg/L")
        for low, high in (("1.25 kg/L", "1.5 kg/L"), ("1 kg/L", "1.1 kg/L"))
    )
    volume = total * parts / (parts + 2)
    poured = round(volume * paint * 1000 * draw.pick(1.1, 1.15, 1.2))
    planned = total / (parts + 2) * hardener * 1000
    needed = poured / 1000 / paint / parts * hardener * 1000
    right, sheet, grams = (
        f"hardener until the scale shows {poured + added:.0f} g" for added in (needed, planned, poured / parts)
    )
    tip = "tip the paint back out with a stick until it fits"
    return decision(
        f"You mix {parts}:1:1 by volume for {total}, on a scale set to zero with the empty cup. Paint weighs "
        f"{paint}, "
        f"hardener {hardener}. Your hand slips: {poured} g of paint are in the cup, more than planned. No hardener "
        "is in yet. What do you do?",
        right,
        {
            sheet: "That hardener belongs to the paint you planned. There is more paint in the cup now.",
            right: "",
            grams: "You took the parts by weight. They are by volume, and hardener is lighter than paint.",
            tip: "You would not know how much is left. The ratio can follow what is in the cup.",
        },
        [
            "The ratio counts from the paint that is in the cup.",
            "Grams of paint by its density are its volume; one part of that is the hardener.",
            "Its volume times its density, on top of what the scale shows.",
        ],
        f"{poured} g ÷ {paint} ÷ {parts} × {hardener} = {needed:.0f} g of hardener; the scale then shows "
        f"{poured + needed:.0f} g.",
    )


@exercise("mix-3", "Percent of what")
def plus_reducer(draw: Draw) -> Question:
    paint = draw.pick(2, 3, 4)
    percent = draw.pick(10, 15, 20)
    volume = draw.between("part_volume", "120 mL", "400 mL", "20 mL")  # of paint
    hardener = draw.figure(volume / paint, "part_volume")
    reducer = draw.figure((volume + hardener) * percent / 100, "part_volume")
    return Question(
        ask=f"The sheet says {paint}:1 +{percent} %, and does not say of what. You have poured {volume} of paint and "
        "the hardener that belongs to it. How much reducer goes in, as the trade usually reads it?",
        answer=reducer,
        slips=[
            (
                volume * percent / 100,
                f"That is {percent} % of the paint alone. Usually it is meant of paint and hardener together.",
            ),
            (
                (volume + hardener) * percent / (100 - percent),
                f"That makes the reducer {percent} % of the finished mix. It is meant of what stands in the cup "
                "before.",
            ),
            (hardener * percent / 100, f"That is {percent} % of the hardener."),
            (hardener, "That is the hardener."),
        ],
        hints=[
            f"First the hardener: one part to {paint} of paint.",
            'Paint and hardener together are the 100 %. (Sheets differ: look whether yours says "of the paint".)',
            f"Take {percent} % of that.",
        ],
        way=f"Hardener {hardener:3}; together {draw.figure(volume + hardener, 'part_volume'):3}; {percent} % of it "
        f"is {reducer:3}.",
    )


@exercise("mix-4", "One mix or two on a warm day")
def warm_day(draw: Draw) -> Question:
    reference = draw.between("reference", "60 min", "180 min", "20 min")
    room = draw.between("reference_temperature", "20 °C", "22 °C", "1 °C")
    warm = draw.between("temperature", "27 °C", "36 °C", "1 °C")
    life = draw.figure(float(mixing.pot_life.si(reference, warm, room, 2.0)), "pot_life")
    tens = (warm - room) / 10
    work = draw.figure(life * draw.pick(0.6, 0.75, 1.3, 1.6), "pot_life")
    one, two, thin = "mix it all at once", "mix each coat fresh", "mix it all, and thin it when it thickens"
    return decision(
        f"The sheet gives {reference} of pot life at {room}. Paint and garage are at {warm} today. By the rule of "
        f"the "
        f"trade pot life halves for each 10 °C (18 °F) warmer. Two coats and the flash between them take {work:2}. "
        "How do you mix?",
        one if life > work else two,
        {
            one: "Work out the pot life at today's temperature. The second coat comes too late for it.",
            two: "Work out the pot life at today's temperature. It lasts for both coats.",
            thin: "A mix that thickens is curing. Reducer makes it thin again, not fresh.",
        },
        [
            "How many degrees warmer is it than on the sheet? Divide by 10 °C (18 °F).",
            "Once that: half. Twice that: a quarter. In between: one half to the power of what you got.",
            "Compare with the time you need.",
        ],
        f"{warm} is {tens:.2g} times {draw.figure(10.0, 'dew_margin')} warmer: {reference} × ½ to the power "
        f"{tens:.2g} = {life:2}. You need {work:2}.",
    )
