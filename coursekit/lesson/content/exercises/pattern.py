"""Pattern and film: the step between passes, the pace, the film of a coat, and what hangs on an upright panel."""

import math

from coursekit import spraying
from coursekit.lesson.practice.exercise import Draw, Question, exercise


@exercise("pattern-1", "From overlap to the step")
def step(draw: Draw) -> Question:
    width = draw.between("width", "150 mm", "300 mm", "10 mm")
    overlap = draw.pick(0.3, 0.35, 0.4, 0.6, 0.65, 0.7)
    answer = draw.figure(width * (1 - overlap), "pitch")
    return Question(
        ask=f"Your fan leaves a stripe {width} wide on the card, and for its shape {draw.figure(overlap, 'overlap')} "
        "overlap is most even. How far do you step from the middle of one pass to the middle of the next?",
        answer=answer,
        within=0.01 * width,
        slips=[
            (
                width * overlap,
                "That is how far the passes lie over one another. The step is what is left of the width.",
            ),
            (
                width / 2 * (1 - overlap),
                "You took half the width, from the middle of the fan to its edge. Overlap counts on the full width.",
            ),
            (width, "Stepping by the full width leaves no overlap at all."),
        ],
        hints=[
            "Overlap is the share of the fan's width that lies over the pass before.",
            "What does not overlap is new ground: that is how far you step.",
            "Take the overlap from the whole, and multiply by the full width.",
        ],
        way=f"{width} × (100 % − {draw.figure(overlap, 'overlap')}) = {answer}.",
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


@exercise("pattern-3", "The dry film of one coat")
def film(draw: Draw) -> Question:
    delivery = draw.between("fluid_delivery", "100 mL/min", "200 mL/min", "10 mL/min")
    solids = draw.between("volume_solids", "36 %", "48 %", "2 %")
    lands = draw.pick(0.6, 0.65, 0.7)
    speed = draw.between("gun_speed", "0.3 m/s", "0.5 m/s", "0.05 m/s")
    pitch = draw.between("pitch", "90 mm", "130 mm", "10 mm")
    dry = draw.figure(float(spraying.coat_film.si(delivery, solids, lands, speed, pitch)), "dry_film")
    return Question(
        ask=f"The gun delivers {delivery} of paint with {solids} volume solids; "
        f"{draw.figure(lands, 'transfer_efficiency')} of the solids land. You move at {speed} and step {pitch}, half "
        "the width of your fan. How thick is the dry film of this one coat, on average?",
        answer=dry,
        within=0.025 * dry,
        slips=[
            (dry / solids, "That is the wet film. Only the solids stay."),
            (
                2 * dry,
                "With half a fan of overlap each place gets two passes, but the step already counts both: spread "
                "the paint over the step, not over half of it.",
            ),
            (dry / 2, "That is one pass spread over the whole fan. In a coat each place gets a second one."),
            (dry / lands, "That is the film if all of it landed."),
        ],
        hints=[
            "In one second the gun lays a strip as long as it moves and, on average, as wide as the step.",
            "How much solids land in a second? Delivery × volume solids × the share that lands.",
            "Divide by the area covered in that second: speed × step. Mind minutes and seconds.",
        ],
        way=f"{delivery} × {solids} × {draw.figure(lands, 'transfer_efficiency')} ÷ ({speed} × {pitch}) = {dry:3}.",
    )


@exercise("pattern-4", "How many coats, so that none runs")
def coats(draw: Draw) -> Question:
    hangs = draw.between("wet_film", "50 µm", "90 µm", "5 µm")
    solids = draw.between("volume_solids", "40 %", "50 %", "2 %")
    wanted = draw.between("dry_film", "75 µm", "150 µm", "5 µm")
    exact = wanted / (hangs * solids)
    answer = math.ceil(exact - 1e-9)
    return Question(
        ask=f"On your upright test card this paint hangs up to {hangs} wet at its wettest place; wetter, it runs. It "
        f"has {solids} volume solids, and the job calls for {wanted} dry. How many coats are the least, each flashed "
        "off before the next?",
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
            "Divide the film that is asked for by it, and round up.",
        ],
        way=f"One coat leaves {hangs} × {solids} = {draw.figure(hangs * solids, 'dry_film'):3}. {wanted} are "
        f"{exact:.2f} of them: {answer} coats.",
    )
