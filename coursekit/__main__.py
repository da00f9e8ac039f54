"""The command line: `python -m coursekit start`, `lessons`, `play`, `compare`, `propose`, `sheet`, `demo`, …

A recipe that cannot be played ends with code 2 and one line on standard error; Ctrl-C with code 130 and one line.
A damage for which no plan holds ends with code 1.
"""

from __future__ import annotations

import argparse
import os
import sys
import textwrap
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, NoReturn

from coursekit import console, keeping
from coursekit.errors import InputError

NO_PLAN, BAD, STOPPED = 1, 2, 130
LESSONS = "coursekit-lessons"


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        self.exit(BAD, f"coursekit: {message}. Try: python -m coursekit --help\n")


def _parser() -> argparse.ArgumentParser:
    about = "Learn the repair of a body panel, or play one on the computed panel."
    parser = _Parser(prog="python -m coursekit", description=about)
    names = "start | lessons | play | compare | propose | sheet | paper | page | progress | demo | reference"
    commands = parser.add_subparsers(dest="command", metavar=names, required=True)
    more = "What else is given goes to JupyterLab: --no-browser prints the address."
    start = commands.add_parser("start", help="copy the lessons into a folder and open them in Lab", epilog=more)
    start.add_argument("folder", metavar="FOLDER", nargs="?", default=LESSONS)
    lessons = commands.add_parser("lessons", help="copy the lessons into a folder; what you changed there stays")
    lessons.add_argument("folder", metavar="FOLDER")
    play = commands.add_parser("play", help="play a recipe and print the table of its steps")
    play.add_argument("recipe", metavar="RECIPE.toml")
    play.add_argument("--pictures", metavar="DIR", help="write the pictures of the steps into this folder")
    play.add_argument("--repeats", metavar="N", type=_count, help="play it with N hands, and say how the end strays")
    compare = commands.add_parser("compare", help="play two recipes and print where they differ")
    compare.add_argument("recipe", metavar="RECIPE.toml")
    compare.add_argument("other", metavar="OTHER.toml")
    propose = commands.add_parser("propose", help="propose a repair for a damage, and write its recipe and its sheet")
    propose.add_argument("damage", metavar="DAMAGE.toml")
    propose.add_argument(
        "-o", "--output", metavar="RECIPE.toml", help="a new file; else DAMAGE-plan.toml; its sheet lies beside it"
    )
    propose.add_argument("--hands", metavar="N", type=_count, help="hands that play it; 10 unless you say")
    sheet = commands.add_parser("sheet", help="write the job sheet of a recipe, to be printed")
    sheet.add_argument("recipe", metavar="RECIPE.toml")
    sheet.add_argument("-o", "--output", metavar="SHEET.html", required=True)
    paper = commands.add_parser("paper", help="exercise sheets, keys and practice cards for a class, to be printed")
    paper.add_argument("kind", choices=("exercises", "key", "cards"))
    paper.add_argument(
        "which", metavar="WHICH", nargs="*", help="lessons or exercises; of cards: measure comb papers"
    )
    paper.add_argument("--word", required=True, help="the word of the class; with a name it gives the numbers")
    paper.add_argument("--name", metavar="NAME", action="append", required=True, help="a learner; again for another")
    paper.add_argument("--turn", metavar="N", type=int, default=0, help="0 first numbers, 1 the next, and so on")
    paper.add_argument("-o", "--output", metavar="PAPER.html", required=True)
    page = commands.add_parser("page", help="a lesson as one page for a browser alone: no Python, no network")
    page.add_argument("lesson", metavar="LESSON")
    page.add_argument("--word", default="page", help="the word of the class; with the name it gives the numbers")
    page.add_argument("--name", default="reader")
    page.add_argument("-o", "--output", metavar="PAGE.html", required=True)
    progress = commands.add_parser("progress", help="gather the progress files of a class: where it is stuck")
    progress.add_argument("folder", metavar="FOLDER")
    progress.add_argument("--csv", metavar="CLASS.csv", help="write all of it as a table")
    for one in (play, compare, propose, sheet, paper, page):
        one.add_argument("--units", choices=("metric", "us"), default="metric")
    demo = commands.add_parser("demo", help="print where a demo recipe lies, or a damage with all its keys")
    kinds = ("door_repair", "impatient_repair", "damage")
    demo.add_argument("which", nargs="?", default="door_repair", choices=kinds)
    reference = commands.add_parser("reference", help="print every call by trade, with its arguments and an example")
    reference.add_argument("trades", metavar="TRADE", nargs="*")
    return parser


def _count(text: str) -> int:
    number = int(text) if text.isascii() and text.isdigit() and len(text) < 6 else 0
    if not 1 <= number <= 10_000:
        raise argparse.ArgumentTypeError(f"{text[:20]!r} is not a number from 1 to 10000")
    return number


def main(arguments: list[str] | None = None) -> int:
    """Run one command; gives the exit code."""
    parser = _parser()
    given, rest = parser.parse_known_args(arguments)
    if rest and given.command != "start":
        parser.error(f"unrecognized arguments: {' '.join(rest)}")
    given.lab, code = rest, None
    try:
        code = COMMANDS[given.command](given)
        sys.stdout.flush()  # a full disk is told here, not when Python ends
    except KeyboardInterrupt:
        print("coursekit: stopped.", file=sys.stderr)
        return STOPPED
    except InputError as error:
        print("coursekit: " + " ".join(str(error).split()), file=sys.stderr)
        return BAD
    except BrokenPipeError:  # the reader of the table went away: nothing to complain of
        _let_go_of_output()
    except OSError as error:
        print(f"coursekit: {error.filename or 'standard output'}: {error.strerror or error}.", file=sys.stderr)
        _let_go_of_output()
        return BAD
    return code or 0


def _let_go_of_output() -> None:
    """What is still to be printed goes nowhere: Python would try once more when it ends."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except (OSError, ValueError):  # standard output is no file
        return


def _start(given: Any) -> None:
    from coursekit.course import copying

    folder = _copied(given)
    copying.open_lab(folder, given.lab)


def _lessons(given: Any) -> None:
    _copied(given)


def _copied(given: Any) -> Path:
    from coursekit.course import copying

    folder = Path(given.folder)
    for line in copying.copy(folder):
        print(line)
    return folder


def _reference(given: Any) -> None:
    from coursekit import reference

    for line in reference.page(*given.trades).lines():
        print(line)


def _demo(given: Any) -> None:
    from coursekit import repair

    print(repair.demo_path(given.which))


def _play(given: Any) -> None:
    from coursekit import repair
    from coursekit.repair.cautioning import care_lines
    from coursekit.repair.plan import plan_lines
    from coursekit.repair.table import WIDTH, text_table

    recipe = repair.load(given.recipe)
    played = repair.replay(recipe)
    print(text_table(played.recipe.title, played, given.units) + "\n")
    for line in (*plan_lines(played, given.units), *care_lines(played)):
        print(textwrap.fill(line, WIDTH, subsequent_indent=" " * 6))
    if given.repeats:
        print(_repeated(recipe, given.repeats, given.units))
    if given.pictures:
        from coursekit.lesson.repair.pictures import write_pictures

        for path in write_pictures(played, Path(given.pictures), given.units):
            print(path, file=sys.stderr)


def _compare(given: Any) -> None:
    from coursekit import repair

    print(repair.compare(given.recipe, given.other).text(given.units))


def _propose(given: Any) -> int:
    from coursekit import repair
    from coursekit.repair.proposing import HANDS
    from coursekit.repair.sharing import beside
    from coursekit.repair.sheet import job_sheet

    written = Path(given.damage)
    output = Path(given.output) if given.output else written.with_name(f"{written.stem}-plan.toml")
    page = output.with_suffix(".html")
    for file in (output, page):
        if file.exists() or not file.parent.is_dir():
            why = "is there already" if file.exists() else "cannot be written there"
            raise InputError(str(file), f"{why}.", "Name a new file with -o: no file of yours is written over.")
    done = [0.0]

    def progress(words: str, share: float) -> None:
        if share - done[0] > 0.01 or not done[0]:
            done[0] = share
            print(f"{share:4.0%} {words:60}", end="\r", file=sys.stderr, flush=True)

    with beside() as executor:
        found = repair.propose(written, given.hands or HANDS, progress, executor)
    print(" " * 70, end="\r", file=sys.stderr, flush=True)
    for line in found.lines(given.units):
        print(textwrap.fill(line, 110, subsequent_indent=" " * 4))
    if found.stopped:
        raise KeyboardInterrupt
    if found.recipe is None:
        return NO_PLAN
    try:
        output.touch(exist_ok=False)  # the name is taken now: nobody's file is written over
    except FileExistsError:  # somebody wrote it while the plan was sought
        raise InputError(str(output), "is there already.", "Name a new file with -o.") from None
    try:
        keeping.replace(output, found.recipe_text())
    except InputError:
        output.unlink(missing_ok=True)
        raise
    print(f"Recipe: {output}")
    keeping.write_page(page, job_sheet(output, given.units))
    print(f"Sheet for the wall: {page}")
    return 0


def _repeated(recipe: Any, number: int, units: Any) -> str:
    from coursekit import repair

    def progress(done: int, of: int) -> None:
        end = "\n" if done == of else "\r"
        print(f"{done} of {of} hands", end=end, file=sys.stderr, flush=True)

    done = repair.repeats(recipe, number, progress=progress)
    if len(done) < number:  # a keyboard interrupt stops it, and what was done is told
        if len(done):
            print("\n" + done.text(units))
        raise KeyboardInterrupt
    return "\n" + done.text(units)


def _sheet(given: Any) -> None:
    from coursekit.repair.sheet import job_sheet

    keeping.check_page(given.output)
    keeping.write_page(given.output, job_sheet(given.recipe, given.units))


def _paper(given: Any) -> None:
    from coursekit.lesson.teaching import paper

    made = paper.paper(given.kind, given.which, given.word, given.name, given.units, given.turn)
    made.save(given.output)


def _page(given: Any) -> None:
    from coursekit.lesson.teaching.static_page import lesson_page

    def progress(told: str) -> None:
        print(f"{told:20}", end="\r", file=sys.stderr, flush=True)

    made = lesson_page(given.lesson, given.word, given.name, given.units, progress)
    print(" " * 20, end="\r", file=sys.stderr, flush=True)
    made.save(given.output)


def _progress(given: Any) -> None:
    from coursekit.lesson.teaching.gathering import class_progress

    found = class_progress(given.folder)
    print(repr(found))
    if given.csv:
        print(f"Table: {found.save_csv(given.csv)}")


COMMANDS: Mapping[str, Callable[[Any], int | None]] = {
    "start": _start,
    "lessons": _lessons,
    "play": _play,
    "compare": _compare,
    "propose": _propose,
    "sheet": _sheet,
    "paper": _paper,
    "page": _page,
    "progress": _progress,
    "demo": _demo,
    "reference": _reference,
}


if __name__ == "__main__":
    console.prepare()
    sys.exit(main())
