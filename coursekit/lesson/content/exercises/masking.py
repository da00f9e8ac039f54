"""Masking: how wide a soft edge is, how long mist stays up, how much of it is in the room."""

from coursekit import spraying
from coursekit.lesson.practice.exercise import Draw, Question, exercise


@exercise("masking-1", "How wide the soft edge is")
def ramp(draw: Draw) -> Question:
    roll = draw.between("lip_height", "4 mm", "10 mm", "1 mm")
    spread = draw.pick(0.1, 0.2, 0.35)
    factor = draw.pick(1.5, 2.0, 2.5)
    answer = float(spraying.ramp_width.si(roll, spread, factor))
    return Question(
        ask=f"You mask with tape rolled to a roll {draw.show(roll, 'lip_height')} in diameter, lying on the panel: "
        "that is how high its lip stands. Straight rays draw an edge whose film rises from 10 to 90 % over "
        f"2.56 × height × spread of directions, here {spread:g}; your practice panel showed {factor:g} times "
        "that. How wide is your edge?",
        answer=answer,
        name="ramp_width",
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
        way=f"2.56 × {draw.show(roll, 'lip_height')} × {spread:g} × {factor:g} = "
        f"{draw.show(answer, 'ramp_width', 3)}.",
    )


@exercise("masking-2", "How long the mist stays up")
def falling(draw: Draw) -> Question:
    size = draw.pick(12e-6, 15e-6, 20e-6, 25e-6, 30e-6)
    speed = float(spraying.settling_speed.si(size, 1000.0))
    height = draw.between("fall_height", "1 m", "2 m", "0.2 m")
    answer = height / speed
    return Question(
        ask=f"A drop {draw.show(size, 'diameter')} in diameter sinks at {draw.show(speed, 'fall_speed', 3)} through "
        f"still air. From {draw.show(height, 'fall_height')} up, how long does it take to the floor? Answer "
        "with a unit of time.",
        answer=answer,
        name="fall_time",
        within=0.03 * answer,
        slips=[
            (60 * answer, "Those are seconds, written as minutes."),
            (answer / 60, "Those are minutes, written as seconds."),
            (
                4 * answer,
                "That would be a drop half as large: you took the diameter for a radius, or the other way round.",
            ),
        ],
        hints=[
            "Way over speed is time. Bring both into the same unit of length first.",
            "The speed is per second, so the time comes in seconds.",
            "Sixty seconds are a minute: say which you mean.",
        ],
        way=f"{draw.show(height, 'fall_height')} ÷ {draw.show(speed, 'fall_speed', 3)} = {answer:.0f} s, which is "
        f"{draw.show(answer, 'fall_time', 3)}.",
    )


@exercise("masking-3", "How much mist is in the room")
def room(draw: Draw) -> Question:
    sprayed = draw.between("mixed_volume", "100 mL", "300 mL", "20 mL")
    solids = draw.between("volume_solids", "36 %", "48 %", "2 %")
    missed, floats = draw.pick(0.3, 0.35, 0.4), draw.pick(0.15, 0.2, 0.25)
    density, volume = 1500.0, draw.between("room_volume", "36 m³", "60 m³", "4 m³")
    mass = sprayed * solids * missed * floats * density
    answer = mass / volume
    return Question(
        ask=f"You spray {draw.show(sprayed, 'mixed_volume')} of surfacer with {draw.show(solids, 'volume_solids')} "
        f"volume solids; dried, the solids weigh {draw.show(density, 'dry_film_density')}. "
        f"{draw.percent(missed)} of them "
        f"miss the panel, and {draw.percent(floats)} of what misses stays in the air of a closed garage of "
        f"{draw.show(volume, 'room_volume')}. How much dry mist is in a cubic metre of its air, if none has "
        "left yet? Answer in mg/m³.",
        answer=answer,
        name="mist_concentration",
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
        way=f"{draw.show(sprayed, 'mixed_volume')} × {draw.show(solids, 'volume_solids')} × {draw.percent(missed)} × "
        f"{draw.percent(floats)} × {draw.show(density, 'dry_film_density')} = "
        f"{draw.show(mass, 'mist_mass', 3)}; ÷ "
        f"{draw.show(volume, 'room_volume')} = {draw.show(answer, 'mist_concentration', 3)}. It says how much, "
        "never whether it may be breathed.",
    )
