"""Colour: signs of a*, the hiding card, coats from wet film, the ground that shows longest, metallic."""

import math

from coursekit import colour
from coursekit.lesson.content.shared.colours import COLOURS, FILLER, SURFACERS
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise


@exercise("colour-1", "Which way, and how far")
def sign(draw: Draw) -> Question:
    old, new = draw.pick(-6.5, -5.0, -4.5, -3.5), draw.pick(1.5, 2.5, 3.0)
    part, more, less = draw.pick(("a*", "redder", "greener"), ("b*", "yellower", "bluer"))
    answer = new - old
    return Question(
        ask=f"The old paint measures {part} = {old:g}, the new mix {part} = {new:g}. By how much does the mix differ "
        f"from the old paint in {part}, with its sign: plus is {more}, minus is {less}?",
        answer=answer,
        name="lab_part",
        within=0.1,
        slips=[
            (new - abs(old), f"You left out the minus of {old:g}. They are on either side of zero."),
            (-answer, "That is the old paint as seen from the new. Ask: where does the new lie from the old?"),
        ],
        hints=[
            "Draw a line with zero in the middle, and put both on it.",
            "New minus old.",
            f"{new:g} − ({old:g}).",
        ],
        way=f"{new:g} − ({old:g}) = {answer:+g}: {more} by {answer:g}.",
    )


@exercise("colour-2", "The black and white card")
def card(draw: Draw) -> Question:
    coats = draw.pick(1, 2, 3)
    white = draw.pick(0.52, 0.56, 0.6, 0.64, 0.68)
    black = round(white * draw.pick(0.82, 0.88, 0.94, 0.985, 0.99), 3)
    ratio = black / white
    again, stop, ground = (
        "one more coat on the card",
        f"plan {coats} coat{'s' if coats > 1 else ''}: it hides",
        "change the surfacer first",
    )
    return decision(
        f"A card is half white and half black. After {coats} coat{'s' if coats > 1 else ''} it throws back "
        f"{draw.percent(white)} of the light over the white and {draw.percent(black)} over the black. Usually a "
        "contrast ratio of 98 % counts as hiding. What do you do?",
        stop if ratio >= 0.98 else again,
        {
            again: "Divide the two. It hides already: another coat costs paint and time.",
            stop: "Divide the two: black over white. Is it 98 %?",
            ground: "The card judges the paint by itself. The ground under it comes later.",
        },
        [
            "A ratio: one divided by the other, not the difference.",
            "Light over black divided by light over white.",
            "Compare it with 98 %.",
        ],
        f"{draw.percent(black)} ÷ {draw.percent(white)} = {draw.percent(ratio)}, against 98 %.",
    )


@exercise("colour-3", "Coats from the wet film")
def coats(draw: Draw) -> Question:
    wet = draw.between("wet_film", "50 µm", "80 µm", "10 µm")
    solids = draw.pick(0.12, 0.15, 0.18)
    needed = draw.between("dry_film", "26 µm", "40 µm", "2 µm")
    exact = needed / (wet * solids)
    answer = math.ceil(exact - 1e-9)
    if abs(exact - round(exact)) < 0.12:
        needed, exact = draw.figure(1.3 * needed, "dry_film"), 1.3 * exact
        answer = math.ceil(exact - 1e-9)
    return Question(
        ask=f"On a card a base hides at {needed:3} of dry film. A coat is {wet:3} wet, and "
        f"{draw.figure(solids, 'volume_solids')} of it are solids. How many whole coats does it take?",
        answer=float(answer),
        name="coats",
        within=0.2,
        slips=[
            (float(math.floor(exact)), "That many fall just short: the ground still shows. Round up."),
            (float(math.ceil(needed / wet)), "You counted the wet film. Most of a base coat evaporates."),
            (float(answer + math.ceil(1 / solids)), "You added coats for the solvent. Multiply wet film by solids."),
        ],
        hints=[
            "What does one coat leave dry?",
            "Wet film times volume solids.",
            "Film needed over that, rounded up.",
        ],
        way=f"{wet:3} × {draw.figure(solids, 'volume_solids')} = {draw.figure(wet * solids, 'dry_film'):3} a coat; "
        f"{draw.figure(needed, 'dry_film'):3} over that is {exact:.2g}, so {answer} coats.",
    )


# Colours over surfacers where filler and surfacer differ clearly: one shows at least half as much again as the other.
CLEAR = (
    *(
        ("demo red", "light grey"),
        ("demo red", "dark grey"),
        ("demo yellow", "mid grey"),
        ("demo yellow", "dark grey"),
    ),
    *(("demo white", "dark grey"), ("demo grey", "mid grey"), ("demo grey", "dark grey")),
    *(("demo green", "mid grey"), ("demo green", "dark grey")),
)


@exercise("colour-4", "Which ground shows longest")
def ground(draw: Draw) -> Question:
    name, surfacer = draw.pick(*CLEAR)
    wide = draw.pick("a coin", "a hand", "a plate")
    words = ("the filler spot", f"the {surfacer} surfacer", "the old colour around it")
    grounds = [list(FILLER), list(SURFACERS[surfacer]), list(COLOURS[name])]
    found = colour.coats_to_hide.si(list(COLOURS[name]), grounds, 6e-6, "solid", 0.05e6)
    answer = words[found.last_ground]
    reasons = {
        words[0]: "Filler is pale and yellowish. Is that really farther from this colour than the other ground?",
        words[1]: f"Compare the {surfacer} with the colour: is the pale filler not farther from it?",
        words[2]: "The old colour is the new one here: nothing has to be hidden there.",
    }
    return Question(
        ask=f"A spot repair in {name}, the same as the old paint. Under it: pale yellowish filler as wide as {wide}, "
        f"{surfacer} surfacer, and the old colour around. Which of the three shows longest through the coats?",
        answer=answer,
        choices=words,
        slips=[(word, reasons[word]) for word in words if word != answer],
        hints=[
            "A ground shows as long as it differs from the colour above it.",
            "Think of light and dark first, and of the hue after.",
            "Try it on the hiding bench.",
        ],
        way=f"{answer.capitalize()}: it lies farthest from the colour. An even ground near the colour saves coats.",
    )


@exercise("colour-5", "A number for a metallic")
def metallic(draw: Draw) -> Question:
    apart = draw.pick("0.3", "0.4", "0.5", "0.6", "0.7", "0.8", "0.9")
    flake = draw.pick("silver", "grey metallic", "blue pearl", "red pearl")
    choices = (
        "it says little: judge such a paint from several sides, on a card",
        "it matches: a difference under 1 is not seen",
        "it does not match: a metallic needs zero",
        "blend further, and the number goes down",
    )
    return Question(
        ask=f"A measurement from one side says that a {flake} mix differs by {apart} from the car. What does that "
        "tell you?",
        answer=choices[0],
        choices=choices,
        slips=[
            (choices[1], "From this side. Flakes throw light like mirrors: from another side it may be far off."),
            (choices[2], "Nobody expects zero, and one side says nothing about the others."),
            (choices[3], "Blending spreads a step out; it does not change the colour of the mix."),
        ],
        hints=["What do flakes do that pigment does not?", "Walk around a silver car in the sun."],
        way="A metallic or pearl is compared from several sides, and how it is sprayed changes it. The course "
        "computes solid colours alone.",
    )
