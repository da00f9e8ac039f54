"""Measuring: cup, card, tank and gauge, and what the readings mean."""

from coursekit import measurements, spraying
from coursekit.constants import ATMOSPHERE
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise

CUP, CARD, TANK = "the cup test", "the weighed card", "the tank"


@exercise("measure-1", "Find the slip in your notebook")
def notebook(draw: Draw) -> Question:
    wrong = draw.pick(CUP, CARD, TANK)
    caught, seconds = draw.between("caught_paint", "30 mL", "60 mL", "2 mL"), draw.pick(15, 20, 30)
    landed, sprayed, solids = draw.pick(10, 12, 14), draw.pick(44, 48, 52), draw.pick(0.45, 0.5)
    low, volume = (
        draw.between("from_pressure", "3.5 bar", "4.5 bar", "0.5 bar"),
        draw.between("receiver_volume", "40 L", "80 L", "10 L"),
    )
    rise = draw.between("to_pressure", "1.5 bar", "2.5 bar", "0.5 bar")
    high = draw.figure(low + rise, "to_pressure")
    right = {
        CUP: draw.figure(caught * 60 / seconds / 60, "fluid_delivery"),
        CARD: draw.figure(landed / (sprayed * solids), "transfer_efficiency"),
        TANK: draw.figure(volume * rise / ATMOSPHERE / 60, "delivery"),
    }
    noted = dict(right)
    slip = {
        CUP: draw.figure(caught / 60, "fluid_delivery"),
        CARD: draw.figure(landed / sprayed, "transfer_efficiency"),
        TANK: draw.figure(volume * (high / ATMOSPHERE) / 60, "delivery"),
    }
    noted[wrong] = slip[wrong]
    return decision(
        f"Three readings, one slip. Cup test: {caught} in {seconds} s, so {noted[CUP]:2}. Weighed card: "
        f"{landed} g dry landed from {sprayed} g sprayed with {draw.percent(solids)} mass solids, so "
        f"{noted[CARD]:2}. "
        f"Tank: {volume} from {low} to {high} in 60 s, so {noted[TANK]:2} of free air. Which do you work out again?",
        wrong,
        {
            CUP: "Bring what was caught to a whole minute: it agrees.",
            CARD: "Dry film over the solids that were sprayed: it agrees.",
            TANK: "Tank volume times the rise, over the pressure of the open air: it agrees.",
        },
        [
            "Work each out by itself. Two will agree.",
            "Cup: times 60 over the seconds. Card: landed over sprayed times solids.",
            "Tank: the rise counts, not the end pressure.",
        ],
        f"{wrong.capitalize()}: {right[wrong]:2}, not {slip[wrong]:2}.",
    )


@exercise("measure-2", "The weighed card")
def card(draw: Draw) -> Question:
    landed = draw.between("weight", "8 g", "16 g", "1 g")
    lost = draw.between("weight", "44 g", "60 g", "2 g")
    filled = draw.figure(lost + draw.between("weight", "60 g", "90 g", "10 g"), "weight")
    solids = draw.between("mass_solids", "40 %", "56 %", "4 %")
    found = measurements.transfer(0.0, landed, lost, 0.0, solids)
    answer = draw.figure(float(found["transfer_efficiency"]), "transfer_efficiency")
    return Question(
        ask=f"The dry foil is {landed} heavier than before. The gun lost {lost}; its cup held {filled} at first. The "
        f"mix has {solids} mass solids. Which share of the sprayed solids landed?",
        answer=answer,
        slips=[
            (
                landed / lost,
                "You held the dry film against the wet paint. Its solvent never could stay: take the solids of the "
                "spray.",
            ),
            (
                landed / (filled * solids),
                "That is the share of what was in the cup. The question is about what you sprayed.",
            ),
            (landed / filled, "Dry film against all of the wet paint in the cup: two slips at once."),
            (
                landed / lost * solids,
                "You multiplied by the solids. The sprayed solids are the spray times their share; then divide.",
            ),
        ],
        hints=[
            "What left the gun is what it lost in weight.",
            "Only a part of that is solids: multiply by the mass solids.",
            "Landed solids over sprayed solids.",
        ],
        way=f"Sprayed solids: {lost} × {solids} = {draw.figure(lost * solids, 'weight'):3}; {landed} ÷ that = "
        f"{answer:3}.",
    )


@exercise("measure-3", "How fast the tank fills")
def tank(draw: Draw) -> Question:
    volume = draw.between("receiver_volume", "24 L", "100 L", "2 L")
    low = draw.between("from_pressure", "3.5 bar", "4.5 bar", "0.5 bar")
    high = draw.figure(low + draw.between("to_pressure", "1.5 bar", "2.5 bar", "0.5 bar"), "to_pressure")
    seconds = draw.pick(80.0, 100.0, 120.0)
    answer = draw.figure(float(spraying.delivery_from_fill.si(volume, low, high, seconds)), "delivery")
    air = ATMOSPHERE
    return Question(
        ask=f"A tank of {volume} rises from {low} to {high} on its gauge in "
        f"{draw.figure(seconds, 'measuring_time')}. How much free air does the compressor deliver in a minute?",
        answer=answer,
        within=0.03 * answer,
        slips=[
            (answer * seconds / 60, "That is what went in during your time, taken for a minute."),
            (answer * high / (high - low), "You took the whole end pressure. There was air in the tank before."),
            (volume / seconds, "That leaves the pressure out: the tank took in more than one tankful of open air."),
            (
                volume * (high - low + air) / air / seconds,
                "On a gauge the open air is zero already: the rise counts, not the rise and one more.",
            ),
        ],
        hints=[
            "How many tankfuls of open air went in? Divide the rise of the gauge by the pressure of the open air, "
            + f"{draw.figure(air, 'to_pressure'):3}"
            + ".",
            "Times the tank's volume: that is the free air, in your seconds.",
            "Bring it to a minute.",
        ],
        way=f"{(high - low) / air:.3g} tankfuls × {volume} in {draw.figure(seconds, 'measuring_time')} are "
        f"{answer:3}.",
    )


@exercise("measure-4", "Your reading does not fit")
def contradiction(draw: Draw) -> Question:
    reading, usual = draw.between("fluid_delivery", "5 mL/min", "12 mL/min", "0.2 mL/min"), 1e-6
    right = "Check unit, time and cup, and measure again. If it stands, mine counts."
    return Question(
        ask=f"Your cup test comes out at {draw.figure(reading, 'fluid_delivery')}. The course says that guns as a "
        f"rule deliver {draw.figure(usual, 'fluid_delivery'):2} and more; your reading lies outside. What now?",
        answer=right,
        choices=(
            "Take the course's best estimate instead.",
            right,
            "Take the mean of both.",
            "Delete it and go on unmeasured.",
        ),
        slips=[
            (
                "Take the course's best estimate instead.",
                "The best estimate knows nothing of your gun. But a reading so far off mostly has a slip in it.",
            ),
            ("Take the mean of both.", "The mean of a slip and a guess is neither. Find the slip first."),
            (
                "Delete it and go on unmeasured.",
                "Then the band stays as wide as before. Measuring again takes five minutes.",
            ),
        ],
        hints=[
            "Which slips make a delivery four times, or sixty times, too small?",
            "Was it millilitres? Was it a minute?",
            "The course never bends a reading, and never hides that it does not fit.",
        ],
        way="A quarter suggests 15 seconds taken for a minute; a sixtieth, a second taken for one. If nothing is "
        "wrong, your gun is unusual, and the course goes by your reading.",
    )
