"""Start here: the area, the film of one coat, and what to do with a band."""

from coursekit import film
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise
from coursekit.quantities import shown_band


@exercise("start-1", "The area of a panel")
def area_of_panel(draw: Draw) -> Question:
    width = draw.between("panel_width", "0.8 m", "1.4 m", "0.1 m")
    height = draw.between("panel_height", "0.4 m", "0.7 m", "0.1 m")
    share = draw.pick(75, 80, 85)
    area = draw.figure(width * height * share / 100, "area")
    return Question(
        ask=f"A door is {width} wide and {height} high. Its corners are cut off: about {share} % of that rectangle "
        "is panel. What area do you coat?",
        answer=area,
        slips=[
            (width * height, "That is the whole rectangle: the corners are not panel."),
            (area / 2, "That is half of it."),
            (width * height * (1 - share / 100), "That is what the corners take away. You coat the rest."),
            (width * height * (1 + share / 100), "You added the corners. They are cut off."),
        ],
        hints=["The rectangle first: width × height.", "Only a share of it is panel: multiply by that share."],
        way=f"{width} × {height} = {draw.figure(width * height, 'area'):3}; {share} % of it is {area:3}.",
    )


@exercise("start-2", "Another coat, or enough?")
def film_of_one_coat(draw: Draw) -> Question:
    coats = draw.pick(2, 3, 4)
    one = draw.between("dry_film", "15 µm", "40 µm", "5 µm")
    total = draw.figure(one * coats, "dry_film")
    laid = draw.pick(coats - 1, coats) if coats > 2 else draw.pick(1, 2)
    another, stop, thicker = "lay another coat", "stop: the film is there", "stop, and sand off what is too much"
    return decision(
        f"The sheet wants {total} dry in all. Each of your coats leaves {one} dry. You have laid {laid}. What do you "
        "do?",
        stop if laid == coats else another,
        {
            another: "Coats times the film of one coat: that is what the sheet wants already.",
            stop: "Coats times the film of one coat: is that what the sheet wants?",
            thicker: "It is no more than the sheet wants. Sanding it thinner helps nothing.",
        },
        ["What have your coats left together?", "Coats laid × the film of one coat.", "Compare with the sheet."],
        f"{laid} × {one} = {draw.figure(laid * one, 'dry_film')}, of {total}.",
    )


@exercise("start-3", "What to do with a band")
def what_to_mix(draw: Draw) -> Question:
    area, solids = draw.between("area", "0.6 m²", "2 m²", "0.1 m²"), draw.pick(0.35, 0.4, 0.45)
    low, high = (float(film.paint_needed.si(area, 30e-6, solids, share)) for share in (0.75, 0.5))
    middle = f"{draw.figure((low + high) / 2, 'paint_volume'):2}"
    ends = [f"{draw.figure(end, 'paint_volume'):2}" for end in (low, high)]
    right = f"mix about {ends[1]}, and see what is left"
    return Question(
        ask=f"For your first coat the course says {shown_band(low, high, 'paint_volume', draw.system)}. Nineteen "
        "times in twenty you want to get to the end of the coat without running dry. What do you mix?",
        answer=right,
        choices=[
            f"mix about {ends[0]}, paint is expensive",
            f"mix {middle}, the best estimate",
            right,
            "mix nothing: a band is no answer",
        ],
        slips=[
            (
                f"mix about {ends[0]}, paint is expensive",
                "At the lower end you run dry in nearly every case, in the middle of the coat.",
            ),
            (f"mix {middle}, the best estimate", "At the best estimate you run dry about every second time."),
            (
                "mix nothing: a band is no answer",
                "A band is an answer: it says how far off you can be, and what to measure to come nearer.",
            ),
        ],
        hints=[
            "A band runs from 5 to 95 %: under its upper end lie nineteen of twenty cases.",
            "Which costs more: a remainder in the cup, or an empty cup in the middle of a coat?",
        ],
        way="The upper end is enough nineteen times in twenty. Pour back what is left and weigh it: the next coat "
        "is mixed by what this one took, and the band has become a number.",
    )
