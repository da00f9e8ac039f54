"""Masking: how wide a soft edge is, how long mist stays up, how much of it is in the room."""

from coursekit import spraying
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise


@exercise("masking-1", "How wide the soft edge is")
def ramp(draw: Draw) -> Question:
    roll = draw.between("lip_height", "4 mm", "10 mm", "1 mm")
    spread = draw.pick(0.1, 0.2, 0.35)
    factor = draw.pick(1.5, 2.0, 2.5)
    answer = draw.figure(float(spraying.ramp_width.si(roll, spread, factor)), "ramp_width")
    return Question(
        ask=f"You mask with tape rolled to a roll {roll} in diameter, lying on the panel: that is how high its lip "
        "stands. Straight rays draw an edge whose film rises from 10 to 90 % over 2.56 × height × spread of "
        f"directions, here {spread:g}; your practice panel showed {factor:g} times that. How wide is your edge?",
        answer=answer,
        slips=[
            (answer / 2, "You took the radius of the roll. Its lip stands as high as its whole diameter."),
            (
                answer / factor,
                "That is what straight rays draw. Air curls under the lip: your practice panel showed more.",
            ),
            (roll, "That is the height of the lip. The width comes from how slantwise the drops arrive under it."),
        ],
        hints=[
            "The drops arrive slantwise: the higher the lip, the further they get under it.",
            "First the edge of straight rays: 2.56 × height × spread.",
            "Then as much more as your practice panel showed.",
        ],
        way=f"2.56 × {roll} × {spread:g} × {factor:g} = {answer:3}.",
    )


@exercise("masking-2", "Still falling?")
def falling(draw: Draw) -> Question:
    size = draw.pick(12e-6, 15e-6, 20e-6, 25e-6, 30e-6)
    speed = draw.figure(float(spraying.settling_speed.si(size, 1000.0)), "fall_speed")
    height = draw.between("fall_height", "1 m", "2 m", "0.2 m")
    needed = draw.figure(height / speed, "fall_time")
    waited = draw.figure(needed * draw.pick(0.3, 0.6, 1.3, 2), "fall_time")
    wait, wipe, wet = (
        "wait on: these drops still fall",
        "wipe with the tack cloth now",
        "wet the floor, then wipe at once",
    )
    return decision(
        f"You want to wipe the panel with a tack cloth before the next coat. Drops {draw.figure(size, 'diameter')} "
        f"in "
        f"diameter sink at {speed:3} in still air, from up to {height} above the panel. You have waited {waited:2}. "
        "What do you do?",
        wipe if waited > needed else wait,
        {
            wait: "Work out how long they take. They are down by now.",
            wipe: "Work out how long they take: some would settle on the panel after you wiped.",
            wet: "A wet floor holds what lies on it. It brings nothing down from the air.",
        },
        [
            "Distance over speed is time. Bring both to the same unit of length first.",
            "The speed is per second, so the time comes in seconds.",
            "Compare it with your wait.",
        ],
        f"{height} ÷ {speed:3} = {needed:2}; you waited {waited:2}. It says nothing about the air you breathe.",
    )


@exercise("masking-3", "How much mist is in the room")
def room(draw: Draw) -> Question:
    sprayed = draw.between("mixed_volume", "100 mL", "300 mL", "20 mL")
    solids = draw.between("volume_solids", "36 %", "48 %", "2 %")
    missed, floats = draw.pick(0.3, 0.35, 0.4), draw.pick(0.15, 0.2, 0.25)
    density, volume = 1500.0, draw.between("room_volume", "36 m³", "60 m³", "4 m³")
    mass = draw.figure(sprayed * solids * missed * floats * density, "mist_mass")
    answer = draw.figure(mass / volume, "mist_concentration")
    return Question(
        ask=f"You spray {sprayed} of surfacer with {solids} volume solids; dried, the solids weigh "
        f"{draw.figure(density, 'dry_film_density')}. {draw.percent(missed)} of them miss the panel, and "
        f"{draw.percent(floats)} of what misses stays in the air of a closed garage of "
        f"{draw.figure(volume, 'room_volume')}. How much dry mist is in a cubic metre of its air, if none has left "
        "yet? Answer in mg/m³.",
        answer=answer,
        within=0.03 * answer,
        slips=[
            (answer / solids, "You counted the wet paint. Only its solids are left in dry mist."),
            (answer / missed, "All of the paint does not become mist: what landed on the panel is not in the air."),
            (
                answer / floats,
                "Most of what misses is coarse and lies on the floor in a minute. Only a part stays up.",
            ),
        ],
        hints=[
            "First the solids in what you sprayed, by volume.",
            "Then the share that misses, and of that the share that stays up. Then weigh it.",
            f"Divide by the room. A millilitre of these solids weighs {density / 1000:g} g, and a gram is 1000 mg.",
        ],
        way=f"{sprayed} × {solids} × {draw.percent(missed)} × {draw.percent(floats)} × "
        f"{draw.figure(density, 'dry_film_density')} = {mass:3}; ÷ {draw.figure(volume, 'room_volume')} = "
        f"{answer:3}. It says how much, never whether it may be breathed.",
    )
