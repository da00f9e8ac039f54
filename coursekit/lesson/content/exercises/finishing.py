"""Finishing: clear removed and left, the limits, and what a gauge cannot tell."""

from coursekit import sanding
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise

VERDICTS = {
    "go": "no limit is passed",
    "warn": "over the stricter limit: stop and measure",
    "fail": "over a limit: clear again",
}


@exercise("finishing-1", "Clear that is left")
def left(draw: Draw) -> Question:
    before, after = draw.between("film", "160 µm", "180 µm", "5 µm"), draw.between("removed", "4 µm", "10 µm", "1 µm")
    clear = draw.between("clear_film", "44 µm", "58 µm", "2 µm")
    answer = draw.figure(float(sanding.polishing_budget.si(clear, after).film_left), "film")
    return Question(
        ask=f"On steel the gauge read {draw.figure(before, 'film')} before sanding and "
        f"{draw.figure(before - after, 'film')} after. Before the clear went on it had read "
        f"{draw.figure(before - clear, 'film')}. How much clear is left?",
        answer=answer,
        within=0.012 * answer,
        slips=[
            (after, "That is what came off. How much is left?"),
            (before - after, "That is everything down to the steel: primer and base are in it."),
            (clear, "That is the clear before it was sanded."),
            (clear + after, "What was sanded off is added. It is gone."),
            (answer * 25.4, "A mil is 25.4 µm: the number is in the other unit."),
        ],
        hints=[
            "The gauge reads all layers together. What did the clear add?",
            "What did the sanding take?",
            "Clear that was there, less what was taken.",
        ],
        way=f"{draw.figure(clear, 'film')} of clear, less {draw.figure(after, 'removed')}: {answer}.",
    )


@exercise("finishing-2", "Polish now, or stop?")
def budget(draw: Draw) -> Question:
    clear = draw.between("clear_film", "44 µm", "60 µm", "2 µm")
    gone = draw.between("removed", "4 µm", "8 µm", "1 µm")
    polish = draw.between("removed", "2 µm", "5 µm", "1 µm")
    most, keep = draw.figure(12.7e-6, "removed"), draw.figure(35.56e-6, "clear_film")
    room = min(most, clear - keep) - gone
    if abs(room - polish) < 0.6e-6:
        clear, room = draw.figure(clear + 2e-6, "clear_film"), min(most, clear + 2e-6 - keep) - gone
    if abs(room - polish) < 0.6e-6:
        polish = draw.figure(polish + 1.5e-6, "removed")
    go, less, again = (
        "compound: it stays within both limits",
        "do not compound it all: a limit would be passed",
        ("clear it again now"),
    )
    return decision(
        f"There were {clear} of clear, and {gone} went in colour-sanding. Compounding takes about {polish} more. "
        f"Printed limits: no more than {most:3} off in all, and at least {keep:3} left. What do you do?",
        go if polish < room else less,
        {
            go: "Check both limits after compounding: what came off in all, and what is left.",
            less: "Neither limit is passed after compounding: add what came off, then see what is left.",
            again: "No limit is passed yet. Clearing again is for when one is.",
        },
        ["Off in all: sanded plus compounded.", "Left: the clear, less that.", "Compare each with its limit."],
        f"Off in all {draw.figure(gone + polish, 'removed'):3}, left "
        f"{draw.figure(clear - gone - polish, 'clear_film'):3}. "
        f"The limits are {most:3} and {keep:3}.",
    )


ROOMS = (  # clear before, and what came off: no limit, the stricter one, too much off, too little left
    (("46 µm", "60 µm"), ("3 µm", "7 µm")),
    (("52 µm", "60 µm"), ("8.5 µm", "12 µm")),
    (("54 µm", "60 µm"), ("13.5 µm", "16 µm")),
    (("40 µm", "42 µm"), ("8 µm", "11 µm")),
)


@exercise("finishing-3", "Which limit is passed?")
def verdict(draw: Draw) -> Question:
    (thin, thick), (least, most) = draw.pick(*ROOMS)
    clear, gone = draw.between("clear_film", thin, thick, "1 µm"), draw.between("removed", least, most, "0.5 µm")
    found = sanding.polishing_budget.si(clear, gone)
    keep = clear - gone < 35.56e-6
    return Question(
        ask=f"{draw.figure(clear, 'clear_film'):3} of clear; {draw.figure(gone, 'removed'):3} have come off. The "
        f"limits: {draw.figure(12.7e-6, 'removed'):3} off (a stricter one: {draw.figure(7.62e-6, 'removed'):3}), and "
        f"{draw.figure(35.56e-6, 'clear_film'):3} left. What does that say?",
        answer=VERDICTS[found.verdict],
        choices=tuple(VERDICTS.values()),
        slips=[(words, _slip(key, found.verdict, keep)) for key, words in VERDICTS.items() if key != found.verdict],
        hints=["Two things are to be compared: what came off, and what is left.", "The worse of the two counts."],
        way=f"{draw.figure(gone, 'removed'):3} off and {draw.figure(clear - gone, 'clear_left'):3} left: "
        f"{VERDICTS[found.verdict]}.",
    )


def _slip(said: str, right: str, keep: bool) -> str:
    if right == "go":
        return (
            "The stricter limit is for what comes off: is it passed?"
            if said == "warn"
            else "Compare both figures with their limits once more: neither is passed."
        )
    if right == "fail" and keep:
        return (
            "Look at what is left, not only at what came off."
            if said == "go"
            else "What came off is only half of it: is as much left as there must be?"
        )
    if right == "fail":
        return (
            "Look at what came off, not only at what is left."
            if said == "go"
            else "The stricter limit is passed, that is so: now hold it against the larger one."
        )
    return (
        "Two limits are printed for what comes off: look at the smaller one."
        if said == "go"
        else "Not that far: which of the two printed limits on removal is passed?"
    )
