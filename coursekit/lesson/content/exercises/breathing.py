"""The air of the garage: vapour, units of a level, clearing, fire against health, and sprayed isocyanate."""

import math

from coursekit import garage
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise
from coursekit.substances import limits, lowest_limit, molar_mass, read_solvent, substance_key

LITRES = 24.055  # a mole of vapour at that temperature
SOLVENTS = ("toluene", "xylene", "n-butyl acetate")


@exercise("breathing-1", "A spilled cup")
def spilled(draw: Draw) -> Question:
    solvent = draw.pick(*SOLVENTS)
    liquid = draw.between("liquid_volume", "100 mL", "300 mL", "50 mL")
    room = draw.between("room_volume", "36 m³", "60 m³", "4 m³")
    of = read_solvent(solvent)
    grams, molar = 1000 * liquid * of.mixed_density, 1000 * molar_mass(substance_key(solvent))
    answer = draw.figure(float(garage.still_air.si(solvent, liquid, room, ROOM_TEMPERATURE).vapour), "vapour_ppm")
    return Question(
        ask=f"{liquid} of {solvent}, which weigh {grams:.0f} g, evaporate in a shut garage of {room}. A mole of it "
        f"weighs {molar:.1f} g, and a mole of any vapour fills {LITRES:.1f} L (0.85 cu ft). How much of the air is "
        "vapour then, in ppm?",
        answer=answer,
        within=0.03 * answer,
        slips=[
            (liquid / room, "You divided the liquid by the room. As vapour it fills some two hundred times as much."),
            (
                1e-3 * grams / room,
                "That is mg in a cubic metre. Parts per million are a share of the volume: the two are not the same "
                "number.",
            ),
        ],
        hints=[
            "How many moles is it? Grams by the grams of a mole.",
            "Moles times the room of a mole: that is the volume of the vapour.",
            "Vapour over the air of the room, in the same unit, times a million.",
        ],
        way=f"{grams:.0f} ÷ {molar:.1f} = {grams / molar:.2f} mol; × {LITRES:.1f} L = {grams / molar * LITRES:.0f} L "
        f"of vapour; in {room} that is {answer:3}. An average: near the floor there is far more.",
    )


@exercise("breathing-2", "mg/m³ is not ppm")
def units(draw: Draw) -> Question:
    solvent = draw.pick(*SOLVENTS)
    level = draw.figure(draw.pick(*range(150, 510, 10)) * 1e-6, "airborne_mass")  # kg/m³
    molar = 1000 * molar_mass(substance_key(solvent))
    answer = draw.figure(float(garage.ppm_of.si(level, molar / 1000, 298.15)), "vapour_ppm")
    return Question(
        ask=f"A measuring tube shows {level} of {solvent} at 25 °C (77 °F). The limit on its data sheet is in ppm. A "
        f"mole weighs {molar:.1f} g and fills 24.45 L (0.86 cu ft) there. How many ppm does the tube show?",
        answer=answer,
        within=0.03 * answer,
        slips=[
            (level, "You took mg/m³ for ppm. One counts weight, the other volume."),
            (level * molar / 24.45, "The wrong way round: a heavy vapour has fewer parts to the milligram."),
            (level * 22.41 / molar, "22.4 L is a mole in ice-cold air. Limits are printed for 25 °C (77 °F)."),
        ],
        hints=[
            "Milligrams by grams per mole gives thousandths of a mole.",
            "Times the litres of a mole gives thousandths of a litre in a cubic metre: that is ppm.",
            f"mg/m³ × 24.45 ÷ {molar:.1f}.",
        ],
        way=f"{level} × 24.45 ÷ {molar:.1f} = {answer:3}.",
    )


@exercise("breathing-3", "Until a hundredth is left")
def clearing(draw: Draw) -> Question:
    changes = draw.pick(*range(3, 11))
    factor = draw.pick(3, 4, 5, 6)
    answer = draw.figure(float(garage.purge_time.si(changes / 3600, 0.01, float(factor))), "purge_duration")
    return Question(
        ask=f"{changes} air changes in an hour, and a mixing factor of {factor}: dead corners. After how many "
        "minutes is a hundredth of the vapour left, once nothing more comes? (ln 100 = 4.61)",
        answer=answer,
        within=0.03 * answer,
        slips=[
            (answer / factor, "You left out the mixing factor: that would hold for perfectly stirred air."),
            (answer / 60, "You counted the air changes by the minute. They are by the hour."),
            (
                factor * 3600 * 100 / changes,
                "Not a hundred changes: each takes 63 % of what is there, so it is the logarithm that counts.",
            ),
            (answer / math.log(10), "You took the logarithm to ten. The natural one counts, ln."),
        ],
        hints=[
            "With one air change an hour and perfect mixing it takes ln 100 hours.",
            f"With {changes} an hour it is that much shorter, with dead corners {factor} times longer.",
            "Then hours into minutes.",
        ],
        way=f"4.61 ÷ {changes} × {factor} = {answer / 3600:.2f} h = {answer:3}. A film that is still wet goes on "
        "giving off.",
    )


@exercise("breathing-4", "Fire or lungs?")
def fire_or_health(draw: Draw) -> Question:
    solvent = draw.pick("xylene", "toluene", "n-butyl acetate")
    row = limits()[substance_key(solvent)]
    limit, whose = lowest_limit(substance_key(solvent))
    explosive = row["lower_explosive_limit"]
    tenth = explosive / 1000
    level = draw.figure(
        draw.pick(120, 150, 180, 220, 260, 300, 350, 400) * 1e-6 if draw.pick(True, False) else 1.5 * tenth,
        "vapour_ppm",
    )
    lungs, fire, go = (
        "get out and air: too much to breathe",
        "get out, touch no switch: the fire alarm is passed",
        "work on",
    )
    return decision(
        f"The air beside a drying coat holds {level:3} of {solvent}. Its lower explosive limit (LEL) is "
        f"{explosive * 1e4:.0f} ppm; a tenth of that is the usual alarm. The lowest limit for health over a shift "
        f"is {draw.figure(limit, 'vapour_ppm')} ({whose}). What do you do?",
        fire if level > tenth else lungs,
        {
            lungs: "That holds too. But look at the alarm as well: is it passed?",
            fire: "Compare with a tenth of the LEL: it is below. Which other limit is passed?",
            go: "Fire is not the only danger. Compare with the limit for health.",
        },
        [
            "Which limit is about fire, and which about lungs?",
            "Compare the level with each, in ppm.",
            "If both are passed, the fire comes first.",
        ],
        f"{level:3} is {level / limit:.2g} times the limit for health, and {100 * level / (explosive / 100):.2g} % "
        "of the LEL. The limit for health is passed long before the air can burn.",
    )


@exercise("breathing-5", "A low number and a two-part clear")
def sprayed(draw: Draw) -> Question:
    level = draw.pick("0.001", "0.0015", "0.002", "0.0025", "0.003", "0.0035", "0.004", "0.0045")
    what = draw.pick("clear", "surfacer", "top coat")
    choices = (
        "supplied air, whatever the number says",
        "a half mask with fresh cartridges: the number is under the limit",
        "a half mask with hose to the gun's compressor",
        "none: nothing can be smelled, and the door is open",
    )
    return Question(
        ask=f"Somebody works out {level} ppm of isocyanate vapour for a coat of two-part {what} in the garage; the "
        "limit is 0.005 ppm. It is sprayed. Which protection does it need?",
        answer=choices[0],
        choices=choices,
        slips=[
            (
                choices[1],
                "The limit is for vapour. Spray is mist, and the mist carries most of the isocyanate; a spent or "
                "leaking filter gives no smell.",
            ),
            (
                choices[2],
                "The air of the gun's compressor is not breathing air: oil mist, and what its inlet draws in. And a "
                "small one does not feed gun and mask together.",
            ),
            (
                choices[3],
                "Isocyanate has no smell that warns. Nearly all samples beside painters were over the 15-minute "
                "limit.",
            ),
        ],
        hints=[
            "What does the number count: vapour or mist?",
            "Try the last bench: does any number change its answer?",
        ],
        way="Sprayed isocyanate requires supplied air from a system of its own, with skin and eye cover. Without "
        "one, leave two-part coats to a shop or hire a booth.",
    )
