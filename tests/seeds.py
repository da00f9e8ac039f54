"""Every exercise with many seeds, in metric and US: what a learner could hold against it.

python -m tests.seeds 10000          # every exercise; each kind of fault, with the first seed that shows it
python -m tests.seeds 10000 film-1   # one exercise
"""

import contextlib
import functools
import math
import re
import sys
from collections import Counter

from coursekit import quantities
from coursekit.lesson.content.declared import all_exercises
from coursekit.lesson.practice.exercise import judge
from coursekit.nomenclature import KINDS, names
from coursekit.unit_grammar import TRADE_UNITS, unit_of

SYSTEMS = ("metric", "us")
RARELY = 50  # seeds between two answers written in every unit there is
LONGEST = 7  # characters of a number that a learner would still type


@functools.cache
def units_of(name):
    """Every spelling of a unit in which that row may be answered."""
    row = names()[name]
    wanted = unit_of(row.metric)
    marks = KINDS[row.kind].marks
    spellings = {
        row.metric,
        row.us or row.metric,
        *TRADE_UNITS,
        "mm",
        "cm",
        "µm",
        "mL",
        "mL/min",
        "g",
        "kg",
        "g/L",
        "kPa",
    }
    found = []
    if row.kind == "number":  # a plain number: a per cent of it is refused, and rightly
        return found
    for spelling in sorted(spellings):
        unit = unit_of(spelling)
        if wanted and unit and unit.dimension == wanted.dimension and unit.mark in marks:
            found.append((spelling, unit))
    return found


def faults(exercise, seed, system, everywhere=False):
    """What is wrong with this question, in words; nothing when all is well."""
    try:
        question = exercise.question(seed, 0, system)
    except ValueError as error:
        yield f"it cannot be drawn: {error}"
        return
    texts = (question.ask, question.way, *question.hints, *(sentence for _, sentence in question.slips))
    if any(re.search(r"\bnan\b|\binf\b|[{}]|\d[eE][+-]?\d", text) for text in texts):
        yield "a text shows a number nobody can read"
    if question.choices:
        yield from _faults_of_choice(question, system)
        return
    answer, row = float(question.answer), names()[question.name]
    if not math.isfinite(answer):
        yield "the answer is not finite"
        return
    if not row.low <= answer <= row.high:
        yield "the answer is outside the range of its row"
    if row.kind not in ("temperature", "temperature difference") and answer < 0:
        yield "the answer is below nothing"
    if not 0 < question.room <= 0.25 * abs(answer) and row.kind != "temperature":
        yield "the room is nothing, or over a quarter of the answer"
    for written in SYSTEMS:
        text = quantities.shown(answer, question.name, written, 4)
        if len(text.split()[0]) > LONGEST or "e" in text.split()[0]:
            yield f"the answer has too many signs in {written}"
        if not judge(question, text, system).passed:
            yield f"the answer as shown in {written} does not pass"
        for slip, _ in question.slips:
            if judge(question, quantities.shown(float(slip), question.name, written, 4), system).outcome != "slip":
                yield f"a slip written in {written} is not told"
    if not judge(question, quantities.shown(answer, question.name, system), system).passed:
        yield "the answer to three digits, as it is said, does not pass"
    for spelling, unit in units_of(question.name) if everywhere else ():
        if not judge(question, f"{(answer - unit.offset) / unit.factor:.10f} {spelling}", system).passed:
            yield f"the answer does not pass in {spelling}"


def _faults_of_choice(question, system):
    verdict = judge(question, question.answer, system)
    if not verdict.passed:
        yield "the right choice does not pass"
    if ".." in verdict.sentence:
        yield "the sentence ends twice"
    if question.choices.count(question.answer) != 1 or len(set(question.choices)) != len(question.choices):
        yield "two of the choices are alike"
    for slip, _ in question.slips:
        if judge(question, slip, system).outcome != "slip":
            yield "a wrong choice is not told"


def counted(exercise, seeds):
    """Faults of an exercise over so many seeds: how often each, and the first seed that shows it."""
    found, first, asked = Counter(), {}, set()
    for number in range(seeds):
        for system in SYSTEMS:
            for fault in faults(exercise, f"seed-{number}", system, number % RARELY == 0):
                found[fault, system] += 1
                first.setdefault((fault, system), number)
        if number < 200:
            with contextlib.suppress(ValueError):
                asked.add(exercise.question(f"seed-{number}").ask)
    return found, first, len(asked)


def main():
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    wanted, bad = sys.argv[2:] or sorted(all_exercises()), 0
    for key in wanted:
        exercise = all_exercises()[key]
        found, first, asked = counted(exercise, seeds)
        bad += bool(found)
        print(f"{key}: {asked} different of the first {min(seeds, 200)}", flush=True)
        for (fault, system), times in found.items():
            print(f"  {system}: {fault}: {times} of {seeds}, first with seed-{first[fault, system]}", flush=True)
    print(f"{seeds} seeds an exercise, {bad} exercises with a fault")
    return bad > 0


if __name__ == "__main__":
    sys.exit(main())
