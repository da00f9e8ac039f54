"""Film: from wet to dry and back, and how much paint a panel takes."""

import math

from coursekit import film
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise


@exercise("film-1", "From the comb to the dry film")
def from_comb(draw: Draw) -> Question:
    wet = draw.between("wet_film", "75 µm", "200 µm", "25 µm")
    solids = draw.between("volume_solids", "30 %", "60 %", "2 %")
    return Question(
        ask=f"Just after the pass your comb says {wet} wet. The mix in the gun has {solids} volume solids. How thick "
        "is this coat once it is dry?",
        answer=film.dry_film.si(wet, solids),
        name="dry_film",
        slips=[
            (wet, "That is the wet film: its solvent has still to go."),
            (wet * (1 - solids), "That is the part that leaves. The solids are the part that stays."),
            (wet / solids, "You divided by the solids: that goes from dry to wet. A film gets thinner as it dries."),
        ],
        hints=[
            "Volume solids is the share of the liquid's volume that stays as film.",
            "Only the thickness shrinks: the area stays the same.",
            "Multiply the wet film by the share that stays.",
        ],
        way=f"{wet} × {solids} = {draw.figure(wet * solids, 'dry_film')}.",
    )


@exercise("film-2", "The wet film to look for, with reducer in")
def to_comb(draw: Draw) -> Question:
    dry = draw.between("dry_film", "20 µm", "60 µm", "5 µm")
    solids = draw.between("volume_solids", "36 %", "60 %", "2 %")
    reduction = draw.between("reduction", "10 %", "30 %", "5 %")
    wet = draw.figure(film.wet_film.si(dry, solids, reduction), "wet_film")
    return Question(
        ask=f"The sheet wants {dry} dry in one coat. The paint has {solids} volume solids before you add "
        f"{reduction} of reducer by volume. Which wet film must the comb show?",
        answer=wet,
        within=0.02 * wet,
        slips=[
            (dry / solids, "The reducer is forgotten: it thins the solids out, so the wet film must be thicker."),
            (dry * solids, "You multiplied: that goes from wet to dry. Here you go from dry to wet."),
            (dry, "That is the dry film. The comb reads the wet one, just after the pass."),
            (
                dry / (solids * (1 - reduction)),
                "You took the reducer's share off the solids. The volume grows by it instead: the solids are shared "
                "out over 1 + that share.",
            ),
        ],
        hints=[
            "With reducer in, the same solids are spread through more liquid.",
            "Volume solids of the thinned paint: the paint's own, divided by 1 + the reducer's share.",
            "Then divide the dry film by those thinned solids.",
        ],
        way=f"Thinned solids: {solids} ÷ {1 + reduction:g} = "
        f"{draw.figure(solids / (1 + reduction), 'volume_solids'):3}; {dry} ÷ that = {wet:3}.",
    )


@exercise("film-3", "Paint for two or three coats")
def paint_for_panel(draw: Draw) -> Question:
    area = draw.between("area", "0.6 m²", "2 m²", "0.2 m²")
    dry = draw.between("dry_film", "20 µm", "50 µm", "5 µm")
    solids = draw.between("volume_solids", "30 %", "50 %", "5 %")
    transfer = draw.between("transfer_efficiency", "40 %", "70 %", "5 %")
    coats = draw.pick(2, 3)
    needed = draw.figure(film.paint_needed.si(area, dry, solids, transfer, coats), "paint_volume")
    return Question(
        ask=f"A panel of {area} gets {coats} coats of {dry} dry each. As sprayed the paint has {solids} volume "
        f"solids, and {transfer} of what leaves the gun lands on the panel. How much ready-to-spray paint do the "
        "coats take, without a reserve?",
        answer=needed,
        slips=[
            (needed / coats, f"That is one coat. There are {coats}."),
            (needed * transfer, "That is what must land. Part of the spray does not: divide by the share that does."),
            (needed * transfer**2, "You multiplied by the share that lands. You need more, not less: divide."),
            (needed * solids, "That is the film without its solvent. Divide by the volume solids too."),
        ],
        hints=[
            "First the dry film on the panel as a volume: area × film × coats.",
            "That is only the solids. Divide by the volume solids to get the liquid that must land.",
            "Not all of it lands: divide by the share that does.",
            "A layer of 1 µm on 1 m² is 1 mL."
            if draw.system == "metric"
            else "A layer of 1 mil on 1 sq ft is 0.08 fl oz.",
        ],
        way=f"{draw.figure(area * dry * coats, 'paint_volume'):3} of film ÷ {solids} ÷ {transfer} = {needed:3}.",
    )


@exercise("film-4", "Which of two surfacers?")
def which_of_two(draw: Draw) -> Question:
    wet = draw.between("wet_film", "80 µm", "120 µm", "10 µm")
    low, high = draw.pick((0.3, 0.5), (0.35, 0.45), (0.3, 0.4), (0.4, 0.55))
    first = draw.pick(True, False)
    solids = (low, high) if first else (high, low)
    wanted = draw.between("dry_film", "60 µm", "120 µm", "10 µm")
    coats = [math.ceil(wanted / (wet * share) - 1e-9) for share in solids]
    one, two, alike = "the first", "the second", "either: they take as many coats"
    return decision(
        f"You need {wanted} of dry surfacer, and a coat may be {wet} wet, no more. The first has "
        f"{draw.percent(solids[0])} volume solids ready to spray, the second {draw.percent(solids[1])}. Which takes "
        "fewer coats?",
        alike if coats[0] == coats[1] else one if coats[0] < coats[1] else two,
        {
            one: "Work out the dry film of one coat of each, and count whole coats.",
            two: "More or fewer solids is not all: count the whole coats of each.",
            alike: "Count the whole coats of each: they are not the same.",
        },
        [
            "How much dry film does one coat leave? Wet film times volume solids.",
            "Film you need over that, rounded up: a part of a coat is a coat.",
            "Once for each of the two.",
        ],
        f"One coat leaves {draw.figure(wet * solids[0], 'dry_film'):3} of the first and "
        f"{draw.figure(wet * solids[1], 'dry_film'):3} of the second: {coats[0]} and {coats[1]} coats.",
    )
