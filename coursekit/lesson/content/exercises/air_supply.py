"""Receiver, compressor, hose and water: what the air supply can give."""

from coursekit import spraying
from coursekit.constants import ATMOSPHERE
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise


def air_around(draw: Draw) -> str:
    return "1.013 bar" if draw.system == "metric" else "14.7 psi"


@exercise("air-supply-1", "What the compressor really gives")
def real_delivery(draw: Draw) -> Question:
    volume = draw.between("receiver_volume", "24 L", "100 L", "2 L")
    start = draw.between("from_pressure", "3 bar", "4 bar", "0.5 bar")
    end = draw.between("to_pressure", "6 bar", "8 bar", "0.5 bar")
    time = draw.between("measuring_time", "40 s", "110 s", "5 s")
    answer = draw.figure(float(spraying.delivery_from_fill.si(volume, start, end, time)), "delivery")
    return Question(
        ask=f"With the tap shut, a receiver of {volume} rises from {start} to {end} in {time}. How much free air "
        "does the compressor deliver in a minute?",
        answer=answer,
        slips=[
            (answer / 60, "You divided by seconds and called it minutes. A minute has 60 of them."),
            (
                volume * end / ATMOSPHERE / time,
                "You took the end pressure. The receiver was not empty: only the rise was pumped in.",
            ),
            (
                volume / time,
                "That is the receiver's own volume. Squeezed into it is far more free air: count how many times the "
                "air around goes into the rise.",
            ),
            (
                volume * (end - start) / ATMOSPHERE / 60,
                f"That is all the air that was pumped in. It took {time}, not a minute.",
            ),
        ],
        hints=[
            f"How far did the pressure rise? Divide it by that of the air around, {air_around(draw)}.",
            "Times the receiver's volume: that is the free air that went in. (1 cu ft is 7.48 gal.)"
            if draw.system == "us"
            else "Times the receiver's volume: that is the free air that went in.",
            "It took so many seconds; how much would it be in 60?",
        ],
        way=f"Rise {draw.figure(end - start, 'to_pressure')} ÷ {air_around(draw)} = "
        f"{(end - start) / ATMOSPHERE:.3g}; × {volume}, in {time}: {answer:3}. The plate usually says more.",
    )


@exercise("air-supply-2", "How long the trigger may be held")
def trigger_minutes(draw: Draw) -> Question:
    volume = draw.between("receiver_volume", "50 L", "150 L", "10 L")
    start = draw.between("from_pressure", "7 bar", "9 bar", "0.5 bar")
    end = draw.between("to_pressure", "2.5 bar", "4 bar", "0.5 bar")
    use = draw.between("air_use", "260 L/min", "340 L/min", "20 L/min")
    delivery = draw.between("delivery", "100 L/min", "180 L/min", "20 L/min")
    answer = draw.figure(float(spraying.trigger_time.si(volume, start, end, use, delivery)), "trigger_duration")
    return Question(
        ask=f"A receiver of {volume} stands at {start}; the gun needs it to stay above {end}. The gun takes {use} of "
        f"free air, the compressor gives {delivery}. How long can the trigger be held?",
        answer=answer,
        within=0.03 * answer,
        slips=[
            (answer / 60, 'That would be the number in minutes, with "seconds" written behind it.'),
            (
                answer * (use - delivery) / use,
                "The compressor runs meanwhile: only what it does not give comes out of the receiver.",
            ),
            (
                answer * (use - delivery) / (use + delivery),
                "You added what the compressor gives to what the gun takes. It helps: take it off.",
            ),
            (
                answer * start / (start - end),
                "You let the receiver run empty. Below its lowest pressure the gun gets too little.",
            ),
            (
                volume / (use - delivery),
                "You took the receiver's volume as free air. It is squeezed: the fall of the pressure says how much "
                "free air comes out.",
            ),
        ],
        hints=[
            f"Free air that comes out: volume × fall of pressure ÷ {air_around(draw)}.",
            "The receiver loses only what the gun takes and the compressor does not give.",
            "Divide the air by that difference." + (" (1 cu ft is 7.48 gal.)" if draw.system == "us" else ""),
        ],
        way=f"Fall {draw.figure(start - end, 'to_pressure')} ÷ {air_around(draw)} × {volume}, shared out over "
        f"{draw.figure(use - delivery, 'air_use')}: {answer:3}.",
    )


@exercise("air-supply-3", "Which hose do you buy?")
def wider_hose(draw: Draw) -> Question:
    narrow, wide = draw.pick((6.35e-3, 7.94e-3), (7.94e-3, 9.53e-3), (6.35e-3, 9.53e-3), (7.94e-3, 12.7e-3))
    loss = draw.between("pressure_loss", "0.6 bar", "1.2 bar", "0.1 bar")
    need = draw.between("gauge_pressure", "1.8 bar", "2.4 bar", "0.2 bar")
    less = draw.figure(loss * (narrow / wide) ** 5, "pressure_loss")
    case = draw.pick("keep", "wide", "none")
    spare = {"keep": loss + 2e4, "wide": 0.5 * (loss + less), "none": 0.5 * less}[case]
    wall = draw.figure(need + spare, "gauge_pressure")
    keep, buy, none = "keep the hose", f"buy the {draw.figure(wide, 'bore'):3} hose", "neither hose will do"
    return decision(
        f"The gun needs {need} at its inlet. Your regulator goes no higher than {wall:3}. Your hose, "
        f"{draw.figure(narrow, 'bore'):3} bore, loses {loss} at that flow. By the makers' rule the loss goes with "
        f"one "
        f"over the fifth power of the bore. The shop has the same length in {draw.figure(wide, 'bore'):3}. What do "
        "you do?",
        {"keep": keep, "wide": buy, "none": none}[case],
        {
            keep: "Take the loss of your hose off the regulator's pressure. Is enough left for the gun?",
            buy: "Compare what each hose leaves at the inlet with what the gun needs.",
            none: "Work out the loss of the wider hose: the fifth power makes it far smaller.",
        },
        [
            "What arrives with the hose you have? Regulator less loss.",
            "The wider one: loss × (narrow bore ÷ wide bore), five times over.",
            "Whichever leaves at least what the gun needs will do.",
        ],
        f"Your hose leaves {draw.figure(wall - loss, 'gauge_pressure'):3}; the wider one loses {less:3} and leaves "
        f"{draw.figure(wall - less, 'gauge_pressure'):3}. The gun needs {need}.",
    )


KEEPS_UP = "spray: it keeps up, with rest enough"
RUNS_HOT = "spray one panel, then let it cool: it keeps up, but runs hot"
FALLS = "do not start: the pressure will fall"


@exercise("air-supply-4", "Can this compressor work that much?")
def working_share(draw: Draw) -> Question:
    use = draw.between("air_use", "200 L/min", "340 L/min", "20 L/min")
    share = draw.between("trigger_fraction", "30 %", "60 %", "10 %")
    wanted = draw.pick(0.35, 0.42, 0.7, 0.78, 0.85, 1.15, 1.3)
    delivery = draw.figure(use * share / wanted, "delivery")
    duty = draw.figure(float(spraying.duty.si(use, share, delivery)), "duty")
    return decision(
        f"A gun takes {use} of free air while the trigger is pulled, which is {share} of the time. The compressor "
        f"delivers {delivery:3}. It is a small piston type: running over 60 % of the time, it gets hot (common "
        "practice). What do you do?",
        KEEPS_UP if duty < 0.6 else RUNS_HOT if duty < 1 else FALLS,
        {
            KEEPS_UP: "Work out for what share of the time it must run. Is it under 60 %?",
            RUNS_HOT: "It runs hot between 60 and 100 % of the time. What is it here?",
            FALLS: "The pressure falls only when the gun takes more on average than the compressor delivers.",
        },
        [
            "How much air does the gun take on average, pauses counted?",
            "Divide that by what the compressor delivers.",
            "Under 60 %, up to 100 %, or over?",
        ],
        f"{use} × {share} = {draw.figure(use * share, 'air_use'):3} on average; ÷ {delivery:3} = {duty:3} of the "
        f"time.",
    )


@exercise("air-supply-5", "Water in the line")
def water(draw: Draw) -> Question:
    flow = draw.between("flow", "200 L/min", "400 L/min", "50 L/min")
    time = draw.between("trigger_duration", "10 min", "40 min", "5 min")
    condensate = draw.between("condensate", "6 g/m³", "12 g/m³", "1 g/m³")
    gauge = 7e5
    answer = flow * time * condensate
    return Question(
        ask=f"On a damp day {condensate} drop out: that much for each cubic metre (35.3 cu ft) of free air drawn in. "
        f"The gun takes {flow} of free air for {time} of trigger in all. The receiver stands at "
        f"{draw.figure(gauge, 'from_pressure')}. How much water is that, in grams?",
        answer=answer,
        name="weight",
        within=0.03 * answer,
        slips=[
            (
                answer * ATMOSPHERE / (gauge + ATMOSPHERE),
                "You took the squeezed volume. The water is counted per cubic metre of free air, and free air is "
                "what the gun's figure means.",
            ),
            (answer * 60, "You counted the minutes as if the flow were per second."),
            (answer / 60, "You divided by 60 once too often: the flow is per minute, and the time is in minutes."),
        ],
        hints=[
            "How much free air goes through in all? Flow × minutes.",
            "In cubic metres: 1000 L" + (", or 35.3 cu ft." if draw.system == "us" else "."),
            "Times the grams for each.",
        ],
        way=f"{flow * time:.3g} m³ of free air × {condensate} = {answer * 1e3:.3g} g. Drain the receiver, and hang a "
        "water trap where the air has cooled.",
    )
