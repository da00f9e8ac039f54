"""Plan a coat: what the sheet says, what the comb must show, what to mix, and its pot life."""

import math

from coursekit import film, mixing
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise

SOLVENT = 860.0  # kg/m³; given in the question


@exercise("plan-1", "Solids by mass, solids by volume")
def solids_by_volume(draw: Draw) -> Question:
    mass = draw.between("mass_solids", "50 %", "70 %", "2 %")
    density = draw.between("density", "1.2 kg/L", "1.45 kg/L", "0.05 kg/L")
    solids = draw.figure(float(film.volume_solids_from_mass.si(mass, density, SOLVENT)), "volume_solids")
    return Question(
        ask=f"A sheet says: non-volatile {mass} by weight, density {density}, ready to spray. What leaves is solvent "
        f"of {draw.figure(SOLVENT, 'density')}. What are the volume solids?",
        answer=solids,
        within=0.01,
        slips=[
            (mass, "That is the figure by mass. What stays is heavier than what leaves, so it takes less room."),
            (1 - solids, "That is the share of the volume that leaves. The solids are the rest."),
            (
                1 - (1 - mass) * SOLVENT / density,
                "The two densities are the wrong way round: the weight of the solvent divided by its own density is "
                "its volume.",
            ),
        ],
        hints=[
            "Take one litre (or one gallon) of the mix: its weight is its density.",
            "What leaves is the rest of the weight: 100 % less the solids by mass.",
            "Divide that weight by the solvent's density: it is the volume that leaves. The rest stays.",
        ],
        way=f"{draw.figure(1 - mass, 'mass_solids')} of the weight leaves. In each unit of volume that is "
        f"{draw.figure((1 - mass) * density, 'density'):3} of solvent; divided by {draw.figure(SOLVENT, 'density')} "
        f"it fills {draw.figure(1 - solids, 'volume_solids'):3}; {solids:3} stays.",
    )


@exercise("plan-2", "The comb after the first pass")
def comb_of_plan(draw: Draw) -> Question:
    coats = draw.pick(2, 3)
    one = draw.between("dry_film", "20 µm", "40 µm", "5 µm")
    solids = draw.between("volume_solids", "34 %", "50 %", "2 %")
    total, wet = one * coats, draw.figure(float(film.wet_film.si(one, solids)), "wet_film")
    shows = draw.figure(wet * draw.pick(0.6, 0.7, 1.03, 1.35, 1.5), "wet_film")
    slower, faster, keep = "slow the hand down", "speed the hand up", "keep your pace"
    return decision(
        f"Your plan: {draw.figure(total, 'dry_film')} dry in all, in {coats} coats, from a mix with {solids} volume "
        f"solids ready to spray. On the test panel one coat shows {shows:2} on the comb. What do you do?",
        keep if abs(shows / wet - 1) < 0.1 else slower if shows < wet else faster,
        {
            slower: "Work out the wet film of one coat. Is the comb under it?",
            faster: "Work out the wet film of one coat. Is the comb over it?",
            keep: "Work out the wet film of one coat. The comb is off by more than a tenth.",
        },
        ["First the dry film of one coat.", "Wet is thicker than dry: divide by the volume solids.", "Compare."],
        f"{draw.figure(total, 'dry_film')} ÷ {coats} ÷ {solids} = {wet:2}; the comb shows {shows:2}.",
    )


@exercise("plan-3", "What to mix, reserve and all")
def mix_with_reserve(draw: Draw) -> Question:
    takes = draw.between("paint_volume", "200 mL", "500 mL", "20 mL")
    percent = draw.pick(10, 15, 20)
    ratio = draw.pick("4:1:1", "3:1:1", "2:1:1")
    mixed = mixing.batch.si(ratio, takes * (1 + percent / 100))
    parts = sum(float(part) for part in ratio.split(":"))
    return Question(
        ask=f"Your coats take {takes} at the upper end of the band, and you want {percent} % of reserve on top. The "
        f"ratio is {ratio} by volume. How much hardener goes in?",
        answer=float(mixed.volumes[1]),
        name="part_volume",
        slips=[
            (takes / parts, "The reserve is forgotten."),
            (takes * (1 - percent / 100) / parts, "You took the reserve off. It comes on top."),
            (float(mixed.fill_lines[-1]), "That is the whole mix. Hardener is one part of it."),
            (float(mixed.volumes[0]), "That is the paint."),
        ],
        hints=[
            "First the whole mix: what the coats take, and the reserve on top.",
            "Then the parts: how many are there in all, and how many of them are hardener?",
        ],
        way=f"{takes} and {percent} % more is {draw.figure(takes * (1 + percent / 100), 'paint_volume'):4}; ÷ "
        f"{parts:g} parts = {draw.figure(mixed.volumes[1], 'part_volume'):3}.",
    )


@exercise("plan-4", "How many coats from one mix")
def coats_from_one_mix(draw: Draw) -> Question:
    reference = draw.between("reference", "60 min", "120 min", "5 min")
    interval = draw.pick(15, 18, 20, 22, 25)  # minutes from the beginning of a coat to that of the next
    life = float(mixing.pot_life.si(reference, ROOM_TEMPERATURE + 10, ROOM_TEMPERATURE, 2.0)) / 60
    coats = math.floor(life / interval)
    return Question(
        ask=f"The sheet gives {reference} of pot life at {draw.figure(ROOM_TEMPERATURE, 'temperature')}. Your garage "
        f"has {draw.figure(ROOM_TEMPERATURE + 10, 'temperature')}: half for that. From the beginning of a coat to "
        f"that of the next you need {interval} min, spraying and flash together. How many coats, sprayed to their "
        "end within the pot life, does one mix give if each takes up to that long?",
        answer=coats,
        name="coats",
        within=0.1,
        slips=[
            (math.floor(2 * life / interval), "The warm garage is forgotten: it halves the pot life."),
            (math.ceil(life / interval), "The last of these would not be out in time: only whole coats count."),
        ],
        hints=[
            "First the pot life in the warm garage.",
            "How often do the minutes of a coat go into it, in whole coats?",
        ],
        way=f"Half of {reference} is {life:g} min; ÷ {interval} min = {life / interval:.3g}: so {coats} whole "
        f"coat{'s' if coats > 1 else ''}. Mix each further coat fresh.",
    )
