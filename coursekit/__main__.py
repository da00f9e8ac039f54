"""The command line: `python -m coursekit play RECIPE.toml`, `sheet`, `demo`.

A recipe that cannot be played ends with code 2 and one line on standard error.
"""

from __future__ import annotations

import argparse
import os
import sys
import textwrap
from pathlib import Path
from typing import Any, NoReturn

from coursekit.quantities import InputError

BAD = 2


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        self.exit(BAD, f"coursekit: {message}. Try: python -m coursekit --help\n")


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="python -m coursekit", description="Play a repair on the computed panel.")
    commands = parser.add_subparsers(dest="command", metavar="play | sheet | demo", required=True)
    play = commands.add_parser("play", help="play a recipe and print the table of its steps")
    play.add_argument("recipe", metavar="RECIPE.toml")
    play.add_argument("--pictures", metavar="DIR", help="write the pictures of the steps into this folder")
    play.add_argument("--repeats", metavar="N", type=_count, help="play it with N hands, and say how the end strays")
    sheet = commands.add_parser("sheet", help="write the job sheet of a recipe, to be printed")
    sheet.add_argument("recipe", metavar="RECIPE.toml")
    sheet.add_argument("-o", "--output", metavar="SHEET.html", required=True)
    for one in (play, sheet):
        one.add_argument("--units", choices=("metric", "us"), default="metric")
    demo = commands.add_parser("demo", help="print where the demo recipe lies")
    demo.add_argument("which", nargs="?", default="door_repair", choices=("door_repair", "impatient_repair"))
    return parser


def _count(text: str) -> int:
    number = int(text) if text.isascii() and text.isdigit() and len(text) < 6 else 0
    if not 1 <= number <= 10_000:
        raise argparse.ArgumentTypeError(f"{text[:20]!r} is not a number from 1 to 10000")
    return number


def main(arguments: list[str] | None = None) -> int:
    """Run one command; gives the exit code."""
    given = _parser().parse_args(arguments)
    try:
        {"play": _play, "sheet": _sheet, "demo": _demo}[given.command](given)
    except InputError as error:
        print("coursekit: " + " ".join(str(error).split()), file=sys.stderr)
        return BAD
    except BrokenPipeError:  # the reader of the table went away: nothing to complain of
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except OSError as error:
        print(f"coursekit: {error.filename}: {error.strerror or error}.", file=sys.stderr)
        return BAD
    return 0


def _demo(given: Any) -> None:
    from coursekit import repair

    print(repair.demo_path(given.which))


def _play(given: Any) -> None:
    from coursekit import repair
    from coursekit.repair.plan import plan_lines
    from coursekit.repair.table import WIDTH, text_table

    recipe = repair.load(given.recipe)
    played = repair.replay(recipe)
    print(text_table(played, given.units) + "\n")
    for line in plan_lines(played, given.units):
        print(textwrap.fill(line, WIDTH, subsequent_indent=" " * 6))
    if given.repeats:
        print(_repeated(recipe, given.repeats, given.units))
    if given.pictures:
        from coursekit.lesson.repair_pictures import write_pictures

        for path in write_pictures(played, Path(given.pictures), given.units):
            print(path, file=sys.stderr)


def _repeated(recipe: Any, number: int, units: Any) -> str:
    from coursekit import repair

    def progress(done: int, of: int) -> None:
        end = "\n" if done == of else "\r"
        print(f"{done} of {of} hands", end=end, file=sys.stderr, flush=True)

    return "\n" + repair.repeats(recipe, number, progress=progress).text(units)


def _sheet(given: Any) -> None:
    from coursekit.repair.sheet import job_sheet

    path = Path(given.output)
    if path.is_dir() or not path.parent.is_dir():
        raise InputError(given.output, "cannot be written there.", "Name a file in a folder that is there.")
    path.write_text(job_sheet(given.recipe, given.units), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    sys.exit(main())
