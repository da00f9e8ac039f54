"""Breakthrough: what goes on first, film before for film taken off, the wet film of a thin recoat, the soft edge."""

from coursekit import film
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise
from coursekit.repair.verdicts import SOFT_EDGE
from coursekit.repair.words import spot_words

THIN = "one thin coat of surfacer"
PRIMER = "a corrosion-protecting primer, then surfacer"
BLOCK = "nothing yet: block on until it is straight"
COLOUR = "base: the colour covers it"


@exercise("breakthrough-1", "What goes on first")
def first(draw: Draw) -> Question:
    area = spot_words(draw.pick(8e-4, 12e-4, 20e-4, 35e-4, 50e-4), draw.system)
    case = draw.pick("filler", "metal", "waves")
    left = f"{draw.figure(draw.between('film', '35 µm', '60 µm', '5 µm'), 'film')}"
    told, answer = {
        "filler": (f"filler shows on {area}, no metal, and the surface is straight to hand and lamp", THIN),
        "metal": (
            f"bare metal shows on {area}, bright in the middle of the filler, and the surface is straight",
            PRIMER,
        ),
        "waves": (
            f"filler shows on {area}, no metal; under the lamp the lines still bend, and elsewhere {left} of "
            "surfacer are left",
            BLOCK,
        ),
    }[case]
    said = {
        THIN: {
            "metal": "Surfacer alone does not protect bare metal from rust.",
            "waves": "A thin coat follows the waves. What is not straight now is not straight after it.",
        },
        PRIMER: {
            "filler": "No metal shows: filler needs no such primer.",
            "waves": "No metal shows, and a primer levels no wave.",
        },
        BLOCK: {
            "filler": "It is straight. Each further stroke only makes the hole larger.",
            "metal": "It is straight. Each further stroke lays more metal bare, and metal begins to rust.",
        },
        COLOUR: dict.fromkeys(
            ("filler", "metal", "waves"),
            "Base has no build. It soaks in differently over the hole, and the edge shows as a ring (edge mapping).",
        ),
    }
    return Question(
        ask=f"You have blocked the surfacer with P320. Now {told}. The edges of the hole are feathered, the panel is "
        "clean. What comes next?",
        answer=answer,
        choices=(THIN, PRIMER, BLOCK, COLOUR),
        slips=[(choice, words[case]) for choice, words in said.items() if choice != answer],
        hints=[
            "Three questions, in this order: does metal show? Is it straight? Does filler show?",
            "Metal is answered first, whatever else is right or wrong.",
            "Build is for waves, cover is for filler: which of them is missing here?",
        ],
        way=f"{answer}. Metal needs its primer first. What is not straight is blocked while there is film. What is "
        "straight and sanded through to filler needs cover, not build.",
    )


@exercise("breakthrough-2", "One more round, or stop?")
def gauge(draw: Draw) -> Question:
    laid = draw.between("film", "70 µm", "120 µm", "10 µm")
    under = draw.between("film", "250 µm", "450 µm", "50 µm")
    taken = draw.between("removed", "30 µm", "45 µm", "5 µm")
    keep = draw.figure(15e-6, "film")
    on = draw.pick(True, False)
    left = laid - taken
    rounds = draw.figure(left - keep - 6e-6 if on else left - keep + 6e-6, "removed")
    before, after = under + laid, under + laid - taken
    more, stop, blind = "one more round", "stop: too little would stay", "go on: the gauge shows plenty"
    return decision(
        f"Over the filler your gauge reads {draw.figure(before, 'film')} before blocking and "
        f"{draw.figure(after, 'film')} after. A strip of steel sprayed along with the door says {laid} of surfacer "
        f"were laid. Another round takes {rounds:2}. At least {keep:2} must stay. What do you do?",
        more if on else stop,
        {
            more: "Laid, less gone, less the next round: is that still enough?",
            stop: "Work out what would stay after the next round. It is more than you think.",
            blind: "The gauge reads everything down to the steel, filler too. It shows plenty even on bare filler.",
        },
        [
            "The difference of the two readings is what went, whatever lies below.",
            "Take it from the surfacer that was laid: that is what is left now.",
            "Take off the next round as well.",
        ],
        f"{taken} went, {draw.figure(left, 'film')} are left. After another round "
        f"{draw.figure(left - rounds, 'film'):2} would be; {keep:2} must stay.",
    )


@exercise("breakthrough-3", "The comb for a thin coat")
def comb(draw: Draw) -> Question:
    dry = draw.between("dry_film", "15 µm", "30 µm", "5 µm")
    solids = draw.between("volume_solids", "44 %", "56 %", "2 %")
    answer = draw.figure(float(film.wet_film.si(dry, solids, 0.2)), "wet_film")
    return Question(
        ask=f"The thin recoat is to leave {dry} dry. Surfacer and activator, 4:1, have {solids} volume solids; you "
        "mix 4:1:1, so one more part of reducer comes to those five. What must the wet comb say?",
        answer=answer,
        slips=[
            (dry * solids / 1.2, "You made the film thinner. Solvent leaves after the comb: wet is more than dry."),
            (dry / solids, "The reducer is forgotten: it makes the mix thinner, the wet film thicker."),
            (dry, "That is the dry film."),
            (dry / solids / 1.2, "Reducer makes the solids less, so the wet film must be more, not less."),
        ],
        hints=[
            "The solids of the mix: what share of its six parts is solids?",
            "Five parts have the solids of the sheet; the sixth has none.",
            "Wet film is dry film over the solids of the mix.",
        ],
        way=f"{solids} × 5 ÷ 6 = {draw.figure(solids / 1.2, 'volume_solids'):3}; {dry} ÷ that = {answer:3} wet.",
    )


@exercise("breakthrough-4", "Soft enough?")
def soft(draw: Draw) -> Question:
    wet = draw.between("wet_film", "40 µm", "100 µm", "10 µm")
    solids = draw.between("volume_solids", "30 %", "50 %", "5 %")
    dry = draw.figure(wet * solids, "dry_film")
    needed = draw.figure(SOFT_EDGE * dry, "ramp_width")
    ramp = draw.figure(needed * draw.pick(0.45, 0.6, 0.7, 1.4, 1.8), "ramp_width")
    leave, roll, hard = (
        "leave it: it is soft",
        "roll the tape larger, so the lip stands higher",
        "press the tape flat",
    )
    return decision(
        f"The recoat is {wet} wet by the comb, with {solids} volume solids as mixed. On the practice panel its edge "
        f"ran out over {ramp:2}. An edge counts as soft when it is at least {SOFT_EDGE:.0f} times as wide as the dry "
        "film is thick. What do you do on the door?",
        leave if ramp > needed else roll,
        {
            leave: f"Work out {SOFT_EDGE:.0f} times the dry film. The edge is narrower.",
            roll: f"Work out {SOFT_EDGE:.0f} times the dry film, not the wet one. The edge is wider than that.",
            hard: "Flat tape leaves a hard edge, the steepest of all.",
        },
        [
            "First the dry film: wet film times volume solids.",
            f"Then {SOFT_EDGE:.0f} times that. "
            + ("1000 µm are 1 mm." if draw.system == "metric" else "1000 mil are 1 in."),
            "A higher lip lets the spray drift further under it.",
        ],
        f"{wet} × {solids} = {dry:3}; times {SOFT_EDGE:.0f}: {needed:3}. The edge ran out over {ramp:2}.",
    )
