"""What if: loss per gram, points and per cent, sprayed and mixed, and the speed for a film."""

from coursekit import film, spraying
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise


@exercise("what-if-1", "Percentage points and percent")
def less_paint(draw: Draw) -> Question:
    much = draw.between("transfer_efficiency", "45 %", "60 %", "1 %")
    less = draw.figure(much + draw.pick(0.08, 0.1, 0.12, 0.15), "transfer_efficiency")
    area, dry, solids = 1.0, 40e-6, 0.42
    before, after = (float(film.paint_needed.si(area, dry, solids, share)) for share in (much, less))
    return Question(
        ask=f"With high air {much} of the solids you spray land, with low air {less}. You lay the same film both "
        "times. How much less paint do you spray with low air? Answer in percent of what you sprayed with "
        "high air.",
        answer=1 - after / before,
        name="part_share",
        slips=[
            (less - much, "Those are percentage points between two shares. How much less paint do you spray?"),
            (less / much - 1, "That is how much more lands. Of the same film you spray the share turned round."),
            (1 - less, "That is the share that does not land with low air."),
            (1 - (1 - less) / (1 - much), "That is how much less of the spray is lost, not how much less you spray."),
        ],
        hints=[
            "The film is the same, so the same solids land both times.",
            "Sprayed is landed divided by the share that lands: work it out for 100 parts landed.",
            "Divide the smaller amount by the larger one, and see what is missing to 100 %.",
        ],
        way=f"For 100 parts landed: {100 / much:.1f} sprayed against {100 / less:.1f}; 1 − {100 / less:.1f} ÷ "
        f"{100 / much:.1f} = {draw.figure(1 - after / before, 'part_share'):3}.",
    )


@exercise("what-if-2", "Which change puts more of the mix on the panel?")
def of_the_mix(draw: Draw) -> Question:
    mixed = draw.between("mixed_volume", "200 mL", "300 mL", "20 mL")
    left = draw.between("paint_volume", "50 mL", "70 mL", "10 mL")
    lands = draw.pick(0.5, 0.55, 0.6)
    cup = draw.pick(True, False)
    little = draw.figure(left * (0.2 if cup else 0.8), "paint_volume")
    more = lands + (0.03 if cup else 0.15)
    by_cup, by_air = lands * (1 - little / mixed), more * (1 - left / mixed)
    less, air, alike = "leave less in the cup", "set low air", "either: they come to the same"
    return decision(
        f"You mix {mixed}. {left} stay in cup, strainer and wash; of the solids you spray {draw.percent(lands)} "
        f"land. "
        f"One change would leave {little:2} behind instead. The other, low air, would land {draw.percent(more)}. "
        "Which puts more of what you mixed on the panel?",
        less if by_cup > by_air else air,
        {
            less: "A share of a share: what leaves the gun, times what lands. Work it out for both changes.",
            air: "Low air helps only what is sprayed. How much of the mix never leaves the gun?",
            alike: "Work it out for both: they differ by several percentage points.",
        },
        [
            "Which part of the mix leaves the gun? Once with each change.",
            "Of that part, so much lands.",
            "Multiply, and compare.",
        ],
        f"Less in the cup: {draw.percent(by_cup)} of the mix; low air: {draw.percent(by_air)}; now "
        f"{draw.percent(lands * (1 - left / mixed))}.",
    )


@exercise("what-if-3", "The speed that reaches the film")
def speed(draw: Draw) -> Question:
    dry = draw.between("dry_film", "15 µm", "30 µm", "5 µm")
    delivery = draw.between("fluid_delivery", "100 mL/min", "200 mL/min", "20 mL/min")
    solids = draw.between("volume_solids", "34 %", "50 %", "2 %")
    lands = draw.between("transfer_efficiency", "55 %", "75 %", "5 %")
    pitch = draw.between("pitch", "80 mm", "130 mm", "10 mm")
    answer = draw.figure(float(spraying.speed_for_film.si(dry, delivery, solids, lands, pitch)), "gun_speed")
    return Question(
        ask=f"You want {dry} dry in one coat. Your gun delivers {delivery}, the paint has {solids} volume solids, "
        f"{lands} of them land, and the passes lie {pitch} apart. How fast must the gun move?",
        answer=answer,
        within=0.03 * answer,
        slips=[
            (answer / solids, "That lays the film wet. The solvent leaves: count the solids only."),
            (answer / lands, "All of it does not land. Count the share that does."),
            (answer / lands / solids, "That takes the paint as if all of it landed and all of it stayed."),
            (answer * 4, "You took the delivery of a minute for that of 15 seconds."),
            (answer * 60, "The delivery is of a minute, the speed of a second: divide by 60."),
        ],
        hints=[
            "How much dry film, as a volume, lands in one second? Delivery × solids × share that lands, ÷ 60.",
            "In one second the gun covers: its speed × the step from pass to pass.",
            "Film = volume ÷ area. Turn it round for the speed.",
            "1 mL is 1000 mm × 1000 mm × 1 µm."
            if draw.system == "metric"
            else "1 fl oz of film is 1.8 in³; 1 mil is 0.001 in.",
        ],
        way=f"{draw.figure(delivery * solids * lands, 'fluid_delivery'):3} of dry film; divided by {dry} and {pitch} "
        f"that is {answer:3}.",
    )


@exercise("what-if-4", "What may you say?")
def claim(draw: Draw) -> Question:
    share, high = draw.pick(*range(60, 87, 3)), draw.pick("1.05", "1.1", "1.15")
    honest = f"Probably less mist, but {100 - share} of 100 such guns say otherwise: measure the delivery first."
    return Question(
        ask=f"The bench says: less mist in {share} % of the guns that yours may be; mist 0.62 to {high} times. What "
        "may you tell a friend with the same gun?",
        answer=honest,
        choices=(
            f"{share} % less mist.",
            honest,
            "Less mist: more than half of the guns agree.",
            "Nothing at all: the band reaches over 1.",
        ),
        slips=[
            (f"{share} % less mist.", "That share counts guns, not mist. The band of times tells how much less."),
            (
                "Less mist: more than half of the guns agree.",
                "More than half is a guess, not a finding. The course calls it sure from nine in ten on.",
            ),
            (
                "Nothing at all: the band reaches over 1.",
                "It does say something: which way it probably goes, and how far it may be off.",
            ),
        ],
        hints=[
            "What is counted by the share: mist, or guns?",
            "The course wants nine guns in ten before it says so flatly.",
            "And what would narrow the band?",
        ],
        way="The share counts the guns for which it holds; the band says by how much. Under nine in ten you say it "
        "is not sure, and what would make it surer.",
    )
