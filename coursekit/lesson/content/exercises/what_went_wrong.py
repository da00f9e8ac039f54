"""What went wrong: figures that speak for a cause, and the cause they do not speak for."""

from coursekit import drying
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.lesson.practice.exercise import Draw, Question, exercise
from coursekit.sources import coefficient


@exercise("what-went-wrong-1", "Wet film against what hangs")
def hung(draw: Draw) -> Question:
    wet = draw.between("wet_film", "60 µm", "90 µm", "5 µm")
    left = draw.pick(0.5, 0.6, 0.7)
    limit = draw.between("wet_film", "150 µm", "180 µm", "10 µm")
    answer = draw.figure(wet * (1 + left), "wet_film")
    return Question(
        ask=f"A coat lays {wet} wet. When the second comes, {draw.percent(left)} of the first still counts as wet; "
        f"{limit} hang without running. How much hangs after the second coat?",
        answer=answer,
        slips=[
            (wet, "That is one coat alone. A part of the first is still wet under it."),
            (2 * wet, "Not all of the first coat is still wet."),
            (wet * left, "That is the rest of the first coat. The second lies on it."),
            (wet * (1 + left * 100), "60 % is 0.6, not 60: a share was taken for per cent."),
            (answer * 25.4, "A mil is 25.4 µm: the number is in the other unit."),
        ],
        hints=["How much of the first coat is still wet?", "The second coat lies on that."],
        way=f"{wet} + {draw.percent(left)} of it = {answer:3}; {limit} hang.",
    )


@exercise("what-went-wrong-2", "The wait that was too short")
def flash(draw: Draw) -> Question:
    sheet = draw.pick(600.0, 900.0, 1200.0)
    cold = draw.between("temperature", "10 °C", "14 °C", "1 °C")
    needed = draw.figure(
        float(drying.time_at.si(sheet, ROOM_TEMPERATURE, cold, float(coefficient("activation_energy")))), "cure_time"
    )
    factor = needed / sheet
    return Question(
        ask=f"The data sheet requires {sheet / 60:.0f} min between coats at "
        f"{draw.figure(ROOM_TEMPERATURE, 'temperature')}. In a garage at {cold} such a wait takes {factor:.3g} times "
        "as long, in the middle of its band. How long is the wait there?",
        answer=needed,
        slips=[
            (sheet, "That is the sheet's time, at the sheet's temperature."),
            (sheet / factor, "You divided. In the cold it takes longer."),
            (sheet * (1 + factor), "The factor is the whole time, not what comes on top."),
        ],
        hints=["Longer or shorter in the cold?", "The sheet's time, so many times."],
        way=f"{sheet / 60:.0f} min × {factor:.3g} = {needed:3}.",
    )


CASES = {
    "Round dents, like fish eyes, in the base. Two wipes before the first paper; the replay says 0 % of the wax were "
    "left when it was sprayed.": (
        "a cause that is not computed: oil from the air hose, or silicone in the garage's air",
        {
            "wax that was left on the panel": "The figure speaks against it: none was left.",
            "too few coats of base": "Fewer coats make the ground show. They make no dents.",
        },
    ),
    "A run in the clear. One coat by itself lays 50 µm (2 mil) wet, 130 µm (5.1 mil) hung, and 120 µm (4.7 mil) "
    "hang.": (
        "coats that pile up wet: no flash between them",
        {
            "one coat too heavy by itself": "One coat is far below what hangs: this figure speaks against it.",
            "too much air": "More air makes a coat thinner and drier; and the repair has no figure on it.",
        },
    ),
    "A milky veil. The panel was as warm as the air, 4 °C (7 °F) over the dew point; the reducer was a fast one.": (
        "a cause that is not computed: a reducer too fast for damp air",
        {
            "a panel under the dew point": "The margin is over the usual 3 °C (5 °F): this figure speaks against it.",
            "too thick a film": "Film has no figure here, and a thick film does not turn milky.",
        },
    ),
    "Stripes along the passes. They overlap by 25 % of the fan; half is usual.": (
        "too little overlap",
        {
            "coats too soon": "Time between coats makes runs and pinholes, not stripes.",
            "a fan heavy at one end, for certain": "It may be so, but there is no figure for it: not for certain.",
        },
    ),
}


@exercise("what-went-wrong-3", "Which cause do the figures leave?")
def case(draw: Draw) -> Question:
    seen = draw.pick(*CASES)
    right, wrong = CASES[seen]
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
