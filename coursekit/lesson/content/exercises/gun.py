"""The gun: cup seconds, cup tests, gauges and air, and a formula outside its range."""

import math

from coursekit import spraying
from coursekit.constants import ATMOSPHERE, ROOM_TEMPERATURE
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise

FORMULAS = {  # as the table of cups has them, for the hints
    "DIN 4": "4.57 × t − 452 ÷ t",
    "Ford 4": "3.85 × (t − 4.49)",
    "Zahn 2": "3.5 × (t − 14)",
    "Zahn 3": "11.7 × (t − 7.5)",
}


@exercise("gun-1", "Seconds of which cup?")
def cup_seconds(draw: Draw) -> Question:
    cup, wrong, other = draw.pick(
        ("DIN 4", "Ford 4", "Zahn 2"),
        ("Ford 4", "Zahn 2", "Zahn 3"),
        ("Zahn 2", "DIN 4", "Zahn 3"),
        ("Zahn 3", "Zahn 2", "DIN 4"),
    )
    time = draw.between("time", "21 s", "34 s", "1 s")
    viscosity = draw.figure(spraying.viscosity_from_cup.si(cup, time, 1.0), "kinematic_viscosity")
    return Question(
        ask=f"Paint runs out of a {cup} cup in {time}. What is its viscosity in mm²/s (cSt)?",
        answer=viscosity,
        within=0.03 * viscosity,
        slips=[
            (
                spraying.viscosity_from_cup.si(wrong, time, 1.0),
                f"That is what a {wrong} cup would mean. Look at the name of the cup again.",
            ),
            (
                spraying.viscosity_from_cup.si(other, time, 1.0),
                f"That is what a {other} cup would mean. Look at the name of the cup again.",
            ),
            (
                time * 1e-6,
                "You took the seconds for mm²/s. Seconds are not a unit of viscosity: each cup has its own formula.",
            ),
        ],
        hints=[
            "Set the cup and the seconds on the bench, and take the middle of the band.",
            f"By its formula, with t in seconds: {FORMULAS[cup]}.",
        ],
        way=f"{cup}: {FORMULAS[cup]} with t = {time:g} gives {viscosity:3}. The cup itself is good to some 10 to 20 "
        "%.",
    )


@exercise("gun-2", "Which way does the knob go?")
def cup_test(draw: Draw) -> Question:
    time = draw.figure(float(draw.pick(15, 20, 30)), "time")
    caught = draw.between("caught_paint", "30 mL", "60 mL", "2 mL")
    delivers = draw.figure(caught / time, "fluid_delivery")
    wanted = draw.figure(delivers * draw.pick(0.6, 0.7, 1.02, 1.4, 1.6), "fluid_delivery")
    back, turn_in, stay = "open the fluid knob", "close the fluid knob a little", "leave it: it is within a tenth"
    return decision(
        f"You spray into a measuring cup for {time} and catch {caught}. Your card for this paint says {wanted:2}. "
        "What do you do with the fluid knob?",
        stay if abs(wanted / delivers - 1) < 0.1 else back if wanted > delivers else turn_in,
        {
            back: "Bring what you caught to a whole minute first. Does the gun deliver too little?",
            turn_in: "Bring what you caught to a whole minute first. Does the gun deliver too much?",
            stay: "Bring what you caught to a whole minute, then compare. It is off by more than a tenth.",
        },
        [f"How many times does {time:g} s fit into a minute?", "That many times what you caught.", "Compare."],
        f"60 ÷ {time:g} = {60 / time:g}; {60 / time:g} × {caught} in a minute: {delivers:3}, against {wanted:2}.",
    )


@exercise("gun-3", "How much room the air takes in the hose")
def squeezed(draw: Draw) -> Question:
    flow = draw.between("flow", "200 L/min", "400 L/min", "20 L/min")
    gauge = draw.between("gauge_pressure", "2 bar", "4 bar", "0.5 bar")
    answer = draw.figure(float(spraying.actual_flow.si(flow, gauge)), "actual_flow")
    air = "1.013 bar" if draw.system == "metric" else "14.7 psi"
    return Question(
        ask=f"A gun takes {flow} of free air: air as it is around us at 20 °C (68 °F). In the hose the gauge shows "
        f"{gauge}. How much room does the same air take there, each minute? The hose is as warm as the garage.",
        answer=answer,
        slips=[
            (flow, "That is the free air. In the hose it is squeezed, and takes less room."),
            (
                flow * ATMOSPHERE / gauge,
                "You took the gauge's figure for the absolute pressure. A gauge shows nothing when the pressure is "
                "that of the air around: add it.",
            ),
            (flow * (gauge + ATMOSPHERE) / ATMOSPHERE, "You multiplied: squeezed air takes less room, not more."),
            (
                flow * gauge / ATMOSPHERE,
                "You multiplied, and by the gauge's figure. Squeezed air takes less room, and the air around counts "
                "too.",
            ),
        ],
        hints=[
            "Squeezed to twice the absolute pressure, air takes half the room.",
            f"Absolute is the gauge plus the air around, {air}.",
            f"Divide the absolute pressure by {air}: that many times smaller is the flow.",
        ],
        way=f"({gauge} + {air}) ÷ {air} = {(gauge + ATMOSPHERE) / ATMOSPHERE:.3g}; {flow} ÷ that = {answer:3}. A "
        "plate that says only "
        '"cfm" leaves open which of the two it means: ask.',
    )


@exercise("gun-4", "Air through the holes of the cap")
def cap_holes(draw: Draw) -> Question:
    holes = draw.pick(6, 8, 10)
    hole = draw.between("tip_bore", "1 mm", "1.6 mm", "0.1 mm")
    cap = draw.between("cap_pressure", "0.3 bar", "0.6 bar", "0.1 bar")
    per_area = draw.figure(float(spraying.cap_jet.si(cap, ROOM_TEMPERATURE).air_use), "air_use_per_area")
    area, flows = math.pi / 4 * hole**2, 0.9
    answer = draw.figure(holes * area * flows * per_area, "air_use")
    return Question(
        ask=f"A cap has {holes} holes of {hole} diameter. A hole flows like 90 % of its drawn area. At {cap} at the "
        f"cap, {per_area} of free air go through the open area. How much free air does this cap take?",
        answer=answer,
        slips=[
            (4 * answer, "You took the diameter for the radius: that makes each hole four times too large."),
            (answer / holes, "That is one hole."),
            (answer / flows, "A real hole lets less through than its drawn area: you left out the 90 %."),
            (answer / math.pi * 4, "You took square holes. A round one has the area diameter × diameter × 0.785."),
        ],
        hints=[
            "First the area of one hole, from its diameter: 0.785 × diameter × diameter.",
            "Times the number of holes, times 0.9.",
            "Times the air that goes through each unit of area.",
        ],
        way=f"0.785 × {hole} squared = {draw.figure(area, 'cap_area'):3}; × {holes} × 0.9 × {per_area} = {answer:3}.",
    )


AT_CAP = "nothing yet: the rule is about the cap, and less arrives there"


@exercise("gun-5", "Which gauge is meant?")
def which_gauge(draw: Draw) -> Question:
    reading = draw.between("gauge_pressure", "0.8 bar", "1.8 bar", "0.04 bar")
    shown = f"{reading}"
    return Question(
        ask=f'The gauge at the handle of a gun shows {shown} with the trigger pulled. Somebody says: "The HVLP '
        "limit is "
        '10 psi (0.69 bar), so the gun is set too high." What does this gauge tell about the limit?',
        answer=AT_CAP,
        choices=[
            f"that the gun is above the limit, as {shown} is above 10 psi",
            AT_CAP,
            "that the limit is kept, as it is an HVLP gun",
        ],
        slips=[
            (
                f"that the gun is above the limit, as {shown} is above 10 psi",
                "You took the inlet for the cap. Set this reading on the bench, once at the inlet and once at the "
                "cap.",
            ),
            (
                "that the limit is kept, as it is an HVLP gun",
                "A name on the gun does not set its pressure. What does the definition speak of?",
            ),
        ],
        hints=["Where does the definition want the pressure?", "Set the bench to the inlet and look at the cap."],
        way=f"{shown} at the inlet are about "
        f"{draw.figure(float(spraying.pressure_at_cap.si(reading)), 'cap_pressure'):2} at the cap of a common gun. "
        "Only a test cap tells.",
    )


REFUSE = "leave the formula alone here: this paint lies outside what it was fitted to"


@exercise("gun-6", "May this formula be asked?")
def may_be_asked(draw: Draw) -> Question:
    low, high = draw.pick((1, 10), (1, 15), (2, 20))
    viscosity = draw.between("viscosity", "25 mPa·s", "60 mPa·s", "5 mPa·s")
    size = draw.between("mean_diameter", "90 µm", "140 µm", "5 µm")
    unit = "mPa·s" if draw.system == "metric" else "cP"
    half = f"take half of it, as {viscosity} is not far off"
    use = "use it: it is published and its fit was good"
    return Question(
        ask=f"A published drop-size formula was fitted to liquids of {low} to {high} {unit}, and within those it was "
        f"good to 10 %. Your paint has {viscosity} at the nozzle, and the formula says {size}. What do you do with "
        "the number?",
        answer=REFUSE,
        choices=[use, half, REFUSE],
        slips=[
            (use, "Good inside its range says nothing about outside. Which liquids was it fitted to?"),
            (half, "Nothing tells how far off it is there, or to which side. A guess is not a correction."),
        ],
        hints=[
            "Compare your paint with the liquids of the fit.",
            "What was measured beyond the last of them? Nothing.",
        ],
        way=f"{viscosity} is {viscosity * 1e3 / high:.2g} times the thickest liquid of the fit. Its viscous term was "
        "never tested there, and grows without end.",
    )
