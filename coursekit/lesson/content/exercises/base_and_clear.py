"""Base and clear: film in coats, paint for them, loss counted once, a can's price."""

from coursekit import film
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise


@exercise("base-and-clear-1", "Paint for two coats of clear")
def paint(draw: Draw) -> Question:
    area = draw.between("area", "0.6 m²", "1.6 m²", "0.2 m²")
    dry = draw.between("dry_film", "25 µm", "35 µm", "5 µm")
    solids = draw.between("volume_solids", "40 %", "50 %", "5 %")
    lands = draw.between("transfer_efficiency", "50 %", "70 %", "5 %")
    sprayed = draw.figure(float(film.paint_needed.si(area, dry, solids, lands, 2)), "paint_volume")
    return Question(
        ask=f"Two coats of clear, {dry} dry each, on {area}. It has {solids} volume solids, and {lands} of what you "
        "spray lands. How much do you spray in all?",
        answer=sprayed,
        within=0.012 * sprayed,
        slips=[
            (sprayed / 2, "That is one coat. There are two."),
            (sprayed * lands, "That is what must land. Not all of it does: divide by the share that lands."),
            (sprayed * lands * lands, "You multiplied by the share that lands. You have to spray more, not less."),
            (
                sprayed / 25.4 if draw.system == "metric" else sprayed * 25.4,
                "That fits a film in the other unit: a mil is 25.4 µm.",
            ),
            (sprayed * lands / 100, "You mixed up a share and percent: 60 % is 0.6, not 60."),
        ],
        hints=[
            "Film times area is the volume of dry film. For two coats.",
            "Divide by the volume solids: that is the paint that must land.",
            "Divide by the share that lands.",
        ],
        way=f"2 × {dry} × {area}, divided by {solids} and by {lands}, is {sprayed:3}.",
    )


@exercise("base-and-clear-2", "Saved by less air and a measured mix")
def saved(draw: Draw) -> Question:
    needed = draw.between("paint_volume", "120 mL", "220 mL", "20 mL")  # what must land, as mixed paint
    usual, better = draw.pick(0.5, 0.55), draw.pick(0.65, 0.7)
    left, little = (
        draw.between("left_in_cup", low, high, "5 mL") for low, high in (("40 mL", "60 mL"), ("10 mL", "20 mL"))
    )
    answer = draw.figure((needed / usual + left) - (needed / better + little), "paint_volume")
    return Question(
        ask=f"{needed} of mixed paint must land on the panel. As usual {draw.percent(usual)} of what is sprayed "
        f"lands, and {draw.figure(left, 'left_in_cup')} stay in the cup. With less air {draw.percent(better)} lands; "
        f"you mix to measure, and {draw.figure(little, 'left_in_cup')} stay. How much less do you mix?",
        answer=answer,
        slips=[
            (needed / usual - needed / better, "That is what you spray less. The cup keeps less, too."),
            (
                (needed / usual + left) * usual - (needed / better + little) * better,
                "You took the share of all you mixed. What stays in the cup is never sprayed.",
            ),
            (
                (needed / usual + left) / usual - (needed / better + little) / better,
                "The remainder is counted twice: what stays in the cup does not miss the panel as well.",
            ),
            (left - little, "That is the cup alone. More of what is sprayed lands, too."),
        ],
        hints=[
            "What must be sprayed, so that this much lands? Once as usual, once with less air.",
            "To each add what stays in the cup: that is the mix.",
            "Subtract.",
        ],
        way=f"As usual {draw.figure(needed / usual + left, 'paint_volume'):3}, with the savings "
        f"{draw.figure(needed / better + little, 'paint_volume'):3}: {answer:3} less.",
    )


@exercise("base-and-clear-3", "One change before the next coat")
def one_change(draw: Draw) -> Question:
    needed = draw.between("paint_volume", "120 mL", "220 mL", "20 mL")  # what must land, as mixed paint
    usual, better = draw.pick((0.5, 0.54), (0.55, 0.6), (0.5, 0.65), (0.55, 0.7))
    left, little = draw.pick((60e-6, 10e-6), (50e-6, 10e-6), (25e-6, 15e-6), (20e-6, 10e-6))
    air, cup = needed / usual - needed / better, left - little
    if 0.67 < air / cup < 1.5:
        left, cup = left + 0.8 * air, cup + 0.8 * air
    left, little = draw.figure(left, "left_in_cup"), draw.figure(little, "left_in_cup")
    low, measured, alike = "turn the air down", "mix to measure", "either: they save alike"
    return decision(
        f"{needed} of mixed clear must land on the panel. With less air {draw.percent(better)} lands instead of "
        f"{draw.percent(usual)}. If you mix to measure, {little:2} stays in the cup instead of {left:2}. You have "
        "time for one change before the next coat. Which saves more paint?",
        low if air > cup else measured,
        {
            low: "Work out both in the same unit: what you spray less, and what the cup keeps less.",
            measured: "The cup keeps less, yes. How much less do you spray with less air?",
            alike: "One of the two saves at least half as much again as the other.",
        },
        [
            "What must leave the gun, so that this much lands? Once with each share.",
            "Their difference is what less air saves.",
            "Compare it with the difference in the cup.",
        ],
        f"Less air saves {draw.figure(air, 'paint_volume'):3}, the measured mix "
        f"{draw.figure(cup, 'paint_volume'):3}.",
    )
