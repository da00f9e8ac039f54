"""Base and clear: film in coats, paint for them, loss counted once, a tin's price."""

from coursekit import film, garage
from coursekit.lesson.practice.exercise import Draw, Question, exercise


@exercise("base-and-clear-1", "Paint for two coats of clear")
def paint(draw: Draw) -> Question:
    area = draw.between("area", "0.6 m²", "1.6 m²", "0.2 m²")
    dry = draw.between("dry_film", "25 µm", "35 µm", "5 µm")
    solids = draw.between("volume_solids", "40 %", "50 %", "5 %")
    lands = draw.between("transfer_efficiency", "50 %", "70 %", "5 %")
    sprayed = draw.figure(float(film.paint_needed.si(area, dry, solids, lands, 2)), "paint_volume")
    return Question(
        ask=f"Two coats of clear, {dry} dry each, on {area}. It has {solids} volume solids, and {lands} of what you "
        "spray lands. How much do you spray in all?",
        answer=sprayed,
        within=0.012 * sprayed,
        slips=[
            (sprayed / 2, "That is one coat. There are two."),
            (sprayed * lands, "That is what must land. Not all of it does: divide by the share that lands."),
            (sprayed * lands * lands, "You multiplied by the share that lands. You have to spray more, not less."),
            (
                sprayed / 25.4 if draw.system == "metric" else sprayed * 25.4,
                "That fits a film in the other unit: a mil is 25.4 µm.",
            ),
            (sprayed * lands / 100, "A share and per cent are mixed up: 60 % is 0.6, not 60."),
        ],
        hints=[
            "Film times area is the volume of dry film. For two coats.",
            "Divide by the volume solids: that is the paint that must land.",
            "Divide by the share that lands.",
        ],
        way=f"2 × {dry} × {area}, divided by {solids} and by {lands}, is {sprayed:3}.",
    )


@exercise("base-and-clear-2", "Saved by less air and a measured mix")
def saved(draw: Draw) -> Question:
    needed = draw.between("paint_volume", "120 mL", "220 mL", "20 mL")  # what must land, as mixed paint
    usual, better = draw.pick(0.5, 0.55), draw.pick(0.65, 0.7)
    left, little = (
        draw.between("left_in_cup", low, high, "5 mL") for low, high in (("40 mL", "60 mL"), ("10 mL", "20 mL"))
    )
    answer = draw.figure((needed / usual + left) - (needed / better + little), "paint_volume")
    return Question(
        ask=f"{needed} of mixed paint must land on the panel. As usual {draw.percent(usual)} of what is sprayed "
        f"lands, and {draw.figure(left, 'left_in_cup')} stay in the cup. With less air {draw.percent(better)} lands; "
        f"you mix to measure, and {draw.figure(little, 'left_in_cup')} stay. How much less do you mix?",
        answer=answer,
        slips=[
            (needed / usual - needed / better, "That is what you spray less. The cup keeps less, too."),
            (
                (needed / usual + left) * usual - (needed / better + little) * better,
                "You took the share of all you mixed. What stays in the cup is never sprayed.",
            ),
            (
                (needed / usual + left) / usual - (needed / better + little) / better,
                "The remainder is counted twice: what stays in the cup does not miss the panel as well.",
            ),
            (left - little, "That is the cup alone. More of what is sprayed lands, too."),
        ],
        hints=[
            "What must be sprayed, so that this much lands? Once as usual, once with less air.",
            "To each add what stays in the cup: that is the mix.",
            "Subtract.",
        ],
        way=f"As usual {draw.figure(needed / usual + left, 'paint_volume'):3}, with the savings "
        f"{draw.figure(needed / better + little, 'paint_volume'):3}: {answer:3} less.",
    )


@exercise("base-and-clear-3", "What it costs, by your tin")
def money(draw: Draw) -> Question:
    pack = draw.pick(0.25, 0.5, 0.75) if draw.system == "metric" else draw.pick(8.0, 16.0, 24.0)
    price, saved = (
        draw.pick(24, 28, 34, 38, 46),
        draw.pick(60, 80, 90, 110) if draw.system == "metric" else (draw.pick(2, 3, 3.5)),
    )
    if draw.system == "metric":
        tin, less, size, whole = f"{pack * 1000:.0f} mL", f"{saved} mL", pack * 1000, 1000.0
    else:
        tin, less, size, whole = f"{pack:g} fl oz", f"{saved:g} fl oz", pack, 33.8
    answer = float(garage.bill.si([{"what": "base", "used": less, "pack": tin, "price": price}]).used)
    return Question(
        ask=f"A tin of {tin} costs you {price} of your money. The savings leave {less} of it in the tin. How much "
        "money is that? Write the bare number.",
        answer=answer,
        name="money",
        within=0.01 * answer,
        slips=[
            (
                price * saved / whole,
                "That takes the price of the tin for the price of a litre. How much does the tin hold?",
            ),
            (price, "That is the whole tin."),
            (price * size / whole * saved / whole, "You made the tin cheaper by its size: divide by what it holds."),
        ],
        hints=["Which share of the tin is saved?", "That share of its price."],
        way=f"{less} of {tin} is {saved / size:.3g} of the tin; of {price} that is {answer:.3g}.",
    )
