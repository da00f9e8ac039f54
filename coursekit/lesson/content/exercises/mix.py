"""Mixing: parts, the scale, what "+10 %" means, and how long the mix lives."""

from coursekit import mixing
from coursekit.lesson.practice.exercise import Draw, Question, exercise


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
            (total * hardener / 100, "You read the parts as per cent. One part is not one per cent."),
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


@exercise("mix-2", "What the scale shows")
def scale(draw: Draw) -> Question:
    ratio = draw.pick("4:1:1", "2:1:1", "3:1:1")
    total = draw.between("total", "200 mL", "600 mL", "40 mL")
    densities = [
        draw.between("density", "1.25 kg/L", "1.5 kg/L", "0.05 kg/L"),
        draw.between("density", "1 kg/L", "1.1 kg/L", "0.05 kg/L"),
        draw.between("density", "0.85 kg/L", "0.9 kg/L", "0.05 kg/L"),
    ]
    batch = mixing.batch.si(ratio, total, densities)
    paint, hardener, reducer = (f"{draw.figure(d, 'density')}" for d in densities)
    water = 1000.0  # kg/m³; who takes a millilitre for a gram
    return Question(
        ask=f"You mix {total} of {ratio} by volume in one cup, on a scale that was set to zero with the empty cup. "
        f"Densities: paint {paint}, hardener {hardener}, reducer {reducer}. Paint first, then hardener. What does "
        "the scale show when the hardener is in? Answer in grams.",
        answer=batch.running_weights[1],
        name="part_mass",
        slips=[
            (batch.masses[1], "That is the hardener alone. The paint is in the cup already: the scale shows both."),
            (batch.fill_lines[1] * water, "You took a millilitre for a gram. Each part has its own density."),
            (batch.running_weights[2], "That is the whole mix, reducer too. The reducer is not in yet."),
        ],
        hints=[
            "First the volume of paint and of hardener, from the parts.",
            "Weight is volume times density, each with its own.",
            "The scale adds up: paint plus hardener.",
        ],
        way=f"Paint {draw.figure(batch.volumes[0], 'part_volume'):3} × {paint} = "
        f"{draw.figure(batch.masses[0], 'part_mass'):3}; hardener {draw.figure(batch.volumes[1], 'part_volume'):3} × "
        f"{hardener} = {draw.figure(batch.masses[1], 'part_mass'):3}; together "
        f"{draw.figure(batch.running_weights[1], 'part_mass'):3}.",
    )


@exercise("mix-3", "Per cent of what")
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


@exercise("mix-4", "Pot life on a warm day")
def warm_day(draw: Draw) -> Question:
    reference = draw.between("reference", "40 min", "180 min", "20 min")
    room = draw.between("reference_temperature", "20 °C", "22 °C", "1 °C")
    warm = draw.between("temperature", "27 °C", "36 °C", "1 °C")
    life = draw.figure(float(mixing.pot_life.si(reference, warm, room, 2.0)), "pot_life")
    tens = (warm - room) / 10
    return Question(
        ask=f"The sheet gives {reference} of pot life at {room}. Today paint and garage have {warm}. By the rule of "
        "the trade – half for each 10 °C (18 °F) warmer – how long is its pot life?",
        answer=life,
        within=0.04 * life,
        slips=[
            (reference * 2**tens, "That is longer than on the sheet. Warm paint reacts faster: it lives shorter."),
            (reference / 2, "That would be right for just 10 °C (18 °F) warmer. How many times ten is it here?"),
            (
                reference * (1 - tens / 2),
                "You took a straight line. It halves again for each ten more, and never reaches nothing.",
            ),
        ],
        hints=[
            "How many degrees warmer is it than on the sheet? Divide by 10 °C (18 °F).",
            "Ten warmer: half. Twenty warmer: half of the half.",
            "In between: multiply by one half to the power of the number of tens.",
        ],
        way=f"{warm} is {tens:.2g} times ten warmer: {reference} × ½ to the power {tens:.2g} = {life:2}.",
    )
