"""Finishing: clear removed and left, the limits, and what a gauge cannot tell."""

from coursekit import sanding
from coursekit.lesson.practice.exercise import Draw, Question, exercise

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
            (after, "That is what came off. What is left is asked."),
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


@exercise("finishing-2", "How much may still come off")
def budget(draw: Draw) -> Question:
    clear = draw.between("clear_film", "52 µm", "60 µm", "2 µm")
    gone = draw.between("removed", "4 µm", "8 µm", "1 µm")
    most, keep = 12.7e-6, 35.56e-6
    answer = draw.figure(min(most, clear - keep) - gone, "removed")
    return Question(
        ask=f"There were {clear} of clear, and {gone} have gone in sanding. One published limit is "
        f"{draw.figure(most, 'removed')} off in all, another {draw.figure(keep, 'clear_film')} left. How far is the "
        "nearer limit?",
        answer=answer,
        within=max(0.02 * answer, 0.1e-6),
        slips=[
            (most, "That is the whole limit. Some of it is used up."),
            (clear - keep - gone, "That is the way to the limit on what is left. The other one comes first."),
            (clear - most, "That is what would be left, not what may still go."),
            (most + gone, "What has gone is added. It belongs to the removal already."),
        ],
        hints=[
            "Each limit by itself: how much may go in all?",
            "The smaller of the two counts.",
            "Take off what has gone already.",
        ],
        way=f"{draw.figure(most, 'removed')} is less than {clear} − {draw.figure(keep, 'clear_film')}; less {gone} "
        f"that is {answer:3}.",
    )


@exercise("finishing-3", "Which limit is passed?")
def verdict(draw: Draw) -> Question:
    clear, gone = draw.pick((50e-6, 5e-6), (60e-6, 10e-6), (60e-6, 15e-6), (42e-6, 9e-6))
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
        return "Compare both figures with their limits once more: neither is passed."
    if right == "fail":
        return (
            "Look at what is left, not only at what came off."
            if keep
            else "Look at what came off, not only at what is left."
        )
    return (
        "Two limits are printed for what comes off: look at the smaller one."
        if said == "go"
        else "Not that far: which of the two printed limits on removal is passed?"
    )
