"""Contours and edges: the flat a hard pad cuts, what a hand can bend, overhang, film on the line."""

import math

from coursekit import sanding
from coursekit.constants import GRAVITY
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise


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
    length, width = (
        draw.between("block_side", "120 mm", "200 mm", "20 mm"),
        0.07 if draw.system == "metric" else 2.75 * 0.0254,
    )
    stiffness = draw.between("bending_stiffness", "10 N·m", "30 N·m", "5 N·m")
    force = draw.figure(weight * GRAVITY, "force")
    least = draw.figure(stiffness * width / (force * length / 8), "crown_radius")
    crown = draw.figure(least * draw.pick(0.4, 0.6, 1.5, 2), "crown_radius")
    this, softer, press = "take this block", "take a more flexible block", "take this block and press on its ends"
    return decision(
        f"On the scale your hand presses with {weight}. Your block is {draw.figure(length, 'block_side')} long and "
        f"{draw.figure(width, 'block_side'):3} wide; its bending stiffness is {stiffness} per width. A hand bends it "
        f"with force × length ÷ 8; the block resists with stiffness × width ÷ radius. The panel has a radius of "
        f"{crown:2}. What do you do?",
        this if crown > least else softer,
        {
            this: "Your hand cannot bend it that far: it rides on its middle and cuts a flat.",
            softer: "Work out the smallest radius it follows in your hand. The panel curves less than that.",
            press: "Pressing on the ends digs the ends in. The moment of your hand is in the sum already.",
        },
        [
            "First the force: 1 kg is 9.8 N, 1 lb is 4.45 N.",
            "Your hand's moment in N·m: force times length in metres, by 8. 1 in is 0.0254 m.",
            "Smallest radius = stiffness × width ÷ your hand's moment. Does the panel curve more tightly?",
        ],
        f"Hand: {force:3} × {draw.figure(length, 'block_side')} ÷ 8 = {force * length / 8:.3g} N·m. Smallest radius: "
        f"{stiffness * width:.3g} N·m² ÷ that = {least:3}; the panel has {crown:2}.",
    )


@exercise("contours-3", "Over the edge")
def over(draw: Draw) -> Question:
    length = draw.between("block_side", "120 mm", "280 mm", "20 mm")
    share = draw.pick(0.1, 0.15, 0.2, 0.25)
    answer = float(sanding.edge_overhang_pressure.si(share))
    return Question(
        ask=f"A rigid block, {length} long, hangs {draw.figure(share * length, 'block_side')} over an edge. f is the "
        f"share that "
        "hangs over. Up to a quarter, the pressure at the edge is (1 + 3f ÷ (1 − f)) ÷ (1 − f) times that on the "
        "flat. "
        "How many times is it here?",
        answer=answer,
        name="pressure_ratio",
        within=0.02 * answer,
        slips=[
            (1 / (1 - share), "That is only the smaller face. The block also tilts over the edge."),
            (
                float(sanding.edge_overhang_pressure.si(min(2 * share, 0.49))),
                "You took the share of half of the block.",
            ),
            (1 + 3 * share / (1 - share), "That is only the tilt. The face that touches is smaller as well."),
        ],
        hints=[
            "First the share: what hangs over, by the length of the block.",
            "Two things: a smaller face, and a tilt.",
            "Put the share into the formula.",
        ],
        way=f"f = {share:g}: (1 + {3 * share:.3g} ÷ {1 - share:.3g}) ÷ {1 - share:.3g} = {answer:.3g}.",
    )


@exercise("contours-4", "Over the body line, or not?")
def line(draw: Draw) -> Question:
    film = draw.between("film", "40 µm", "80 µm", "5 µm")
    removed = draw.between("removed", "8 µm", "20 µm", "1 µm")
    times = draw.pick(2, 2.5, 3)
    keep = draw.figure(15e-6, "film")
    left = film - times * removed
    if abs(left - keep) < 3e-6:
        left = left + 8e-6
        film = draw.figure(film + 8e-6, "film")
    across, tape, flat = (
        "block across the line",
        "tape the line and sand it last, by hand",
        "block across: the flat says so",
    )
    return decision(
        f"{film:3} of surfacer were laid over a body line. Blocking takes {removed} off the flat beside it, and "
        f"{times:g} times as much off the line. At least {keep:2} must stay everywhere. What do you do?",
        across if left > keep else tape,
        {
            across: "Work out what is left on the line: it loses more than the flat.",
            tape: "Work out what is left on the line. It is enough here.",
            flat: "The flat is not where it goes through first.",
        },
        ["What goes on the line?", "So many times what the flat loses.", "Film laid, less that."],
        f"{film:3} − {times:g} × {removed} = {draw.figure(max(left, 0.0), 'film'):2}"
        + (" – it would be through" if left <= 0 else "")
        + f"; {keep:2} must stay.",
    )
