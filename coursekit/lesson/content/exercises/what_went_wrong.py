"""What went wrong: figures that point to a cause, and the cause they do not speak for."""

from coursekit import drying
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise
from coursekit.sources import coefficient

FLASH, LIGHTER, OTHER = "flash off longer between coats", "lay each coat lighter", "neither: look for another cause"


@exercise("what-went-wrong-1", "A run: what do you change?")
def hung(draw: Draw) -> Question:
    limit = draw.between("wet_film", "100 µm", "180 µm", "10 µm")
    left = draw.pick(0.5, 0.6, 0.7)
    case = draw.pick(FLASH, LIGHTER, OTHER)
    wet = draw.figure(limit * {FLASH: 0.8, LIGHTER: 1.2, OTHER: 0.5}[case], "wet_film")
    both = draw.figure(wet * (1 + left), "wet_film")
    return decision(
        f"There is a run in the second coat. One coat lays {wet:2} wet. When the second came, {draw.percent(left)} "
        f"of the first still counted as wet. The sag limit is {limit}. What do you change?",
        case,
        {
            FLASH: "Add what is still wet of the first coat to the second. Is that the figure that passes the limit?",
            LIGHTER: "One coat by itself is under the sag limit.",
            OTHER: "Compare one coat, and then both, with the sag limit. One of them passes it.",
        },
        [
            "Is one coat by itself over the sag limit?",
            "How much of the first coat is still wet? The second lies on that.",
            "Which of the two passes the limit?",
        ],
        f"One coat {wet:2}, both {both:2}, and the sag limit is {limit}.",
    )


@exercise("what-went-wrong-2", "Was the wait too short?")
def flash(draw: Draw) -> Question:
    sheet = draw.pick(600.0, 900.0, 1200.0)
    cold = draw.between("temperature", "10 °C", "14 °C", "1 °C")
    needed = draw.figure(
        float(drying.time_at.si(sheet, ROOM_TEMPERATURE, cold, float(coefficient("activation_energy")))), "cure_time"
    )
    factor = needed / sheet
    waited = draw.figure(round((sheet if draw.pick(True, False) else 1.4 * needed) / 300) * 300.0, "cure_time")
    short, enough, kept = (
        "the wait: it was too short",
        "something else: the wait was long enough",
        ("something else: the sheet's time was kept"),
    )
    return decision(
        f"Solvent pop in the clear. The sheet wants {sheet / 60:.0f} min between coats at "
        f"{draw.figure(ROOM_TEMPERATURE, 'temperature')}. At {cold} that takes {factor:.3g} times as long, as a best "
        f"estimate. The wait was {waited / 60:.0f} min. What do you look at first?",
        enough if waited > needed else short,
        {
            short: "The sheet's time, so many times: the wait was longer than that.",
            enough: "The sheet's time, so many times: the wait was shorter than that.",
            kept: "The sheet's time holds at the sheet's temperature. This garage is colder.",
        },
        ["Longer or shorter in the cold?", "The sheet's time, so many times.", "Compare with the wait."],
        f"{sheet / 60:.0f} min × {factor:.3g} = {needed / 60:.0f} min; the wait was {waited / 60:.0f} min.",
    )


Case = tuple[str, str, dict[str, str]]  # what is seen, the right cause, and what speaks against the others


def _dents(draw: Draw) -> Case:
    wipes, paper = draw.pick("Two", "Three"), draw.pick("P400", "P500", "P600")
    return (
        f"Round dents, like fish eyes, in the base. {wipes} wipes before the {paper}, the first paper; the replay "
        f"says {draw.percent(0)} of the wax was left when it was sprayed.",
        "a cause that is not computed: oil from the air hose, or silicone in the garage's air",
        {
            "wax that was left on the panel": "The figure points away from it: none was left.",
            "too few coats of base": "Fewer coats make the ground show. They make no dents.",
        },
    )


def _run(draw: Draw) -> Case:
    hangs = draw.between("wet_film", "100 µm", "140 µm", "5 µm")
    one, both = (draw.figure(hangs * share, "wet_film") for share in (draw.pick(0.4, 0.45, 0.5), 1.1))
    return (
        f"A run in the clear. One coat by itself lays {one:2} wet. With what was still wet under it, {both:3} hung "
        f"there. The sag limit is {hangs}.",
        "coats that pile up wet: no flash between them",
        {
            "one coat too heavy by itself": "One coat is far below the sag limit: this figure points away from it.",
            "too much air": "More air makes a coat thinner and drier; and the repair has no figure on it.",
        },
    )


def _veil(draw: Draw) -> Case:
    panel, over = draw.between("temperature", "16 °C", "24 °C", "1 °C"), draw.pick(4.0, 5.0, 6.0)
    dew = draw.figure(panel - over, "temperature")
    return (
        f"A milky veil. The panel was as warm as the air, {panel}, and the dew point was {dew:3}. The reducer was a "
        "fast one.",
        "a cause that is not computed: a reducer too fast for damp air",
        {
            "a panel under the dew point": "It is more than 3 °C (5 °F) warmer: this figure points away from it.",
            "too thick a film": "Film has no figure here, and a thick film does not turn milky.",
        },
    )


def _stripes(draw: Draw) -> Case:
    overlap = draw.pick(0.15, 0.2, 0.25, 0.3)
    return (
        f"Stripes along the passes. They overlap by {draw.percent(overlap)} of the fan; half is usual.",
        "too little overlap",
        {
            "coats too soon": "Time between coats makes runs and pinholes, not stripes.",
            "a fan heavy at one end, for certain": "It may be so, but there is no figure for it: not for certain.",
        },
    )


@exercise("what-went-wrong-3", "Which cause do the figures leave?")
def case(draw: Draw) -> Question:
    seen, right, wrong = draw.pick(_dents, _run, _veil, _stripes)(draw)
    return Question(
        ask=f"{seen} Where do you look first?",
        answer=right,
        choices=tuple(sorted([right, *wrong])),
        slips=list(wrong.items()),
        hints=[
            "Which of the causes have a figure, and on which side of its limit is it?",
            "A cause without a figure is as possible as before.",
        ],
        way=f"Look first at: {right}. A figure makes a cause possible; it does not prove it.",
    )
