"""Pattern and film: the step between passes, the pace, the film of a coat, and what hangs on an upright panel."""

import math

from coursekit import spraying
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise


@exercise("pattern-1", "Stripes on the card")
def step(draw: Draw) -> Question:
    width = draw.between("width", "150 mm", "300 mm", "10 mm")
    overlap = draw.pick(0.5, 0.55, 0.6)
    best = width * (1 - overlap)
    pitch = draw.figure(best * draw.pick(0.75, 0.8, 1.01, 1.25, 1.4), "pitch")
    less, more, leave = "step less between passes", "step more between passes", "leave the step: look at the fan"
    return decision(
        f"Your card shows stripes. The fan is {width} wide, and for its shape {draw.figure(overlap, 'overlap')} "
        f"overlap is most even. You step {pitch:2} from the middle of one pass to the middle of the next. What do "
        "you change?",
        leave if abs(pitch / best - 1) < 0.05 else less if pitch > best else more,
        {
            less: "Work out the step that gives this overlap. Yours is not wider than that.",
            more: "Work out the step that gives this overlap. Yours is not narrower than that.",
            leave: "Work out the step that gives this overlap. Yours is off by a fifth or more.",
        },
        [
            "Overlap is the share of the fan's width that lies over the pass before.",
            "What does not overlap is new ground: that is how far you step.",
            "Compare with your step.",
        ],
        f"{width} × (100 % − {draw.figure(overlap, 'overlap')}) = {draw.figure(best, 'pitch'):3}; you step "
        f"{pitch:2}.",
    )


@exercise("pattern-2", "Seconds for one pass")
def seconds(draw: Draw) -> Question:
    panel = draw.between("panel_width", "0.8 m", "1.4 m", "0.1 m")
    lead = draw.between("lead", "100 mm", "150 mm", "10 mm")
    speed = draw.between("gun_speed", "0.3 m/s", "0.5 m/s", "0.05 m/s")
    answer = draw.figure(float(spraying.coat_plan.si(panel, 0.8, 0.1, speed, lead).seconds_per_pass), "pass_time")
    return Question(
        ask=f"A panel is {panel} long. You pull the trigger {lead} before it begins and let go as far behind it, and "
        f"your gun moves at {speed}. For how many seconds is the trigger pulled in one pass?",
        answer=answer,
        within=0.015 * answer,
        slips=[
            (
                panel / speed,
                "That is the panel alone. The trigger is pulled before it begins and after it ends, too.",
            ),
            ((panel + lead) / speed, "You counted the lead once. There is one before the panel and one behind it."),
            (answer / 60, "Those are minutes, written as seconds."),
        ],
        hints=[
            "How far does the gun go while the trigger is pulled?",
            "The panel, one lead before it and one behind it.",
            "Way over speed; a speed in a minute gives minutes: 60 seconds each.",
        ],
        way=f"({panel} + 2 × {lead}) ÷ {speed} = {answer:3}.",
    )


@exercise("pattern-3", "Set the hand for the film")
def film(draw: Draw) -> Question:
    delivery = draw.between("fluid_delivery", "100 mL/min", "200 mL/min", "10 mL/min")
    solids = draw.between("volume_solids", "36 %", "48 %", "2 %")
    lands = draw.pick(0.6, 0.65, 0.7)
    speed = draw.between("gun_speed", "0.3 m/s", "0.5 m/s", "0.05 m/s")
    pitch = draw.between("pitch", "90 mm", "130 mm", "10 mm")
    dry = draw.figure(float(spraying.coat_film.si(delivery, solids, lands, speed, pitch)), "dry_film")
    factor = draw.pick(0.7, 0.8, 1.3, 1.5)
    wanted = draw.figure(factor * dry, "dry_film")
    right, wrong = (draw.figure(one, "gun_speed") for one in (speed / factor, speed * factor))
    return decision(
        f"The gun delivers {delivery} with {solids} volume solids; {draw.figure(lands, 'transfer_efficiency')} of "
        f"them "
        f"land. You step {pitch} between passes. The plan wants {wanted:2} dry in one coat. How fast do you move?",
        f"{right:2}",
        {
            f"{speed:2}": f"That lays {dry:2}. Work it out: is it what the plan wants?",
            f"{right:2}": "",
            f"{wrong:2}": "The wrong way: a slower hand lays more, a faster one less.",
        },
        [
            "Dry film that lands in a minute: delivery × volume solids × the share that lands.",
            "In a minute the gun covers its speed × the step.",
            "Film is volume over area: turn it round for the speed.",
        ],
        f"{delivery} × {solids} × {draw.figure(lands, 'transfer_efficiency')} ÷ ({wanted:2} × {pitch}) = {right:2}.",
    )


@exercise("pattern-4", "How many coats, so that none runs")
def coats(draw: Draw) -> Question:
    hangs = draw.between("wet_film", "50 µm", "90 µm", "5 µm")
    solids = draw.between("volume_solids", "40 %", "50 %", "2 %")
    wanted = draw.between("dry_film", "75 µm", "150 µm", "5 µm")
    exact = wanted / (hangs * solids)
    answer = math.ceil(exact - 1e-9)
    return Question(
        ask=f"On your upright test card the sag limit is {hangs} wet, at the wettest place. The paint "
        f"has {solids} volume solids, and the job calls for {wanted} dry. How many coats do you need at least, each "
        "flashed off before the next?",
        answer=answer,
        name="coats",
        within=0.1,
        slips=[
            (
                math.ceil(wanted / hangs - 1e-9),
                "You set the dry film against the wet one. How much of a wet coat stays?",
            ),
            (math.floor(exact + 1e-9), "So many coats do not reach the film yet: a part of a coat is a coat."),
            (
                math.ceil(wanted / hangs * solids - 1e-9),
                "You multiplied by the solids. A coat leaves less than it lays, so you need more coats, not fewer.",
            ),
        ],
        hints=[
            "How much dry film does the wettest coat that still hangs leave?",
            "Wet film × volume solids is the dry film of one coat.",
            "Divide the film you need by it, and round up.",
        ],
        way=f"One coat leaves {hangs} × {solids} = {draw.figure(hangs * solids, 'dry_film'):3}. {wanted} are "
        f"{exact:.2f} of them: {answer} coats.",
    )
