"""Contours and edges: the flat a hard pad cuts, what a hand can bend, overhang, film on the line."""

import math

from coursekit import sanding
from coursekit.constants import GRAVITY
from coursekit.lesson.practice.exercise import Draw, Question, exercise


@exercise("contours-1", "The flat of a hard pad")
def flat(draw: Draw) -> Question:
    across = draw.between("crown_radius", "2 m", "8 m", "1 m")
    removed = draw.between("removed", "4 µm", "12 µm", "1 µm")
    radius = draw.figure(across / 2, "crown_radius")
    answer = draw.figure(2 * math.sqrt(2 * radius * removed), "flat_width")
    return Question(
        ask=f"A panel's curve is part of a circle {across} in diameter. A perfectly hard pad, held still, takes "
        f"{removed} off at its middle. Its flat is 2·√(2·R·z) wide: R radius, z film taken off. How wide is that?",
        answer=answer,
        within=0.03 * answer,
        slips=[
            (answer * math.sqrt(2), "You took the diameter for the radius."),
            (answer / 2, "That is the half-width."),
            (answer / math.sqrt(2), "The 2 under the root is missing."),
        ],
        hints=[
            "The radius is half of what is given.",
            "Bring both lengths to the same unit before multiplying.",
            "2 × R × z under the root, and twice that.",
        ],
        way=f"2 × √(2 × {radius:3} × {removed}) = {answer:3}.",
    )


@exercise("contours-2", "Does the block bend?")
def bends(draw: Draw) -> Question:
    weight = draw.between("weight", "1500 g", "3000 g", "250 g")
    length, width = draw.between("block_side", "120 mm", "200 mm", "20 mm"), 0.07
    stiffness = draw.between("bending_stiffness", "10 N·m", "30 N·m", "5 N·m")
    force = draw.figure(weight * GRAVITY, "force")
    answer = draw.figure(stiffness * width / (force * length / 8), "crown_radius")
    return Question(
        ask=f"On the scale your hand presses with {weight}. Your block is {draw.figure(length, 'block_side')} long "
        f"and {draw.figure(width, 'block_side'):3} wide, and its bending stiffness is {stiffness} per width. A hand "
        "can give the moment force × length ÷ 8, and the block takes stiffness × width ÷ radius. What is the "
        "smallest radius to which your hand can lay it on?",
        answer=answer,
        within=0.03 * answer,
        slips=[
            (answer * GRAVITY, "You took kilograms for newtons: a kilogram presses with 9.8 N."),
            (2 * answer, "You gave the diameter."),
            (answer / 8, "The 8 belongs to the hand's moment: it makes it smaller, the radius larger."),
        ],
        hints=[
            "First the force: 1 kg is 9.8 N, 1 lb is 4.45 N.",
            "The hand's moment in N·m: force times length in metres, by 8. 1 in is 0.0254 m.",
            "Both moments alike: radius = stiffness × width ÷ hand's moment.",
        ],
        way=f"Hand: {force:3} × {draw.figure(length, 'block_side')} ÷ 8 = {force * length / 8:.3g} N·m. Block: "
        f"{stiffness * width:.3g} N·m × 1 m ÷ R. R = {answer:3}.",
    )


@exercise("contours-3", "Over the edge")
def over(draw: Draw) -> Question:
    length = draw.between("block_side", "120 mm", "280 mm", "40 mm")
    share = draw.pick(0.1, 0.15, 0.2, 0.25)
    answer = float(sanding.edge_overhang_pressure.si(share))
    return Question(
        ask=f"A rigid block, {length} long, stands {draw.figure(share * length, 'block_side')} over an edge. With "
        "the share f that hangs over, the pressure at the edge is (1 + 3f ÷ (1 − f)) ÷ (1 − f) times that on the "
        "flat, as long as f is a quarter or less. How many times is it?",
        answer=answer,
        name="pressure_ratio",
        within=0.02 * answer,
        slips=[
            (1 / (1 - share), "That is only the smaller face. The block also tilts over the edge."),
            (
                float(sanding.edge_overhang_pressure.si(min(2 * share, 0.49))),
                "You took the share of half of the block.",
            ),
            (1 + 3 * share / (1 - share), "That is only the tilt. The face that bears is smaller as well."),
        ],
        hints=[
            "First the share: what hangs over, by the length of the block.",
            "Two things: a smaller face, and a tilt.",
            "Put the share into the formula.",
        ],
        way=f"f = {share:g}: (1 + {3 * share:.3g} ÷ {1 - share:.3g}) ÷ {1 - share:.3g} = {answer:.3g}.",
    )


@exercise("contours-4", "What is left on the line")
def line(draw: Draw) -> Question:
    film = draw.between("film", "60 µm", "100 µm", "10 µm")
    removed = draw.between("removed", "8 µm", "16 µm", "1 µm")
    times = draw.pick(2, 2.5, 3)
    answer = draw.figure(film - times * removed, "film")
    return Question(
        ask=f"Over a body line {film} of surfacer were laid. Blocking takes {removed} off the flat beside it, and on "
        f"the line {times:g} times as much. How much is left on the line?",
        answer=answer,
        within=0.5e-6,
        slips=[
            (film - removed, "That is what is left on the flat."),
            (times * removed, "That is the film taken off. How much is left?"),
            (film, "That is the film before."),
            (film / times, "The film is not divided: it loses that many times what the flat loses."),
        ],
        hints=["What goes on the line?", "So many times what the flat loses.", "Film before, less what went."],
        way=f"{film} − {times:g} × {removed} = {answer:3}.",
    )
