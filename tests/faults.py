"""Inputs and files spoilt at random, and writers that are killed: for the tests in small, for the study in full."""

import contextlib
import json
import multiprocessing
import os
import random
import re
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass, field, replace
from multiprocessing.connection import Connection
from pathlib import Path

import numpy as np

from coursekit import datasheet, folder, measured, repair
from coursekit.errors import InputError
from coursekit.lesson.learner.progress import FILE, Progress
from coursekit.lesson.plan import recipe_files
from coursekit.lesson.repair.demo_recipes import demo
from coursekit.nomenclature import KINDS, names
from coursekit.reading import read

LONG = 100_000  # characters
SLOW = 0.1  # s of a processor for that many

GARAGE = """format = 1

[[measurement]]
way = "delivery"
date = 2026-05-30T10:00:00+02:00
time = "15 s"
paint = ["42 mL", "44 mL"]

[[measurement]]
way = "force"
date = 2026-05-31T10:00:00+02:00
scale = "2.1 kg"
"""
_ODD = (
    *"\0\t\n\r \"'[]{}=.,#\\-+_%°µ²³·/×:;eE0123456789azZ",
    *("\u202f", "\u2212", "\ufeff", "\ud800", "\U0001f600", "١", "½", "∞", "nan", "inf", "1e400", "-0", "9" * 5000),
    *("m", "mm", "µm", "psi", "°F", "kg/L", "[[step]]\n", "[panel]\n", "format = 2\n", "do = 3\n", '"""', "true"),
    *("1979-05-27", "07:32:00", "[1, [2, [3]]]", "{a = 1}", "0x" + "f" * 300, "a.b.c.d = 1\n"),
)


def spoilt(text: str, dice: random.Random) -> str:
    """A text with one to four things done to it: taken out, doubled, swapped, put in, cut off, made long."""
    for _ in range(dice.choice((1, 1, 1, 2, 4))):
        start = dice.randrange(len(text) + 1)
        end = min(len(text), start + dice.choice((0, 1, 1, 2, 5, 20, 200)))
        piece = text[start:end]
        match dice.randrange(7):
            case 0:
                text = text[:start] + text[end:]
            case 1:
                text = text[:end] + piece + text[end:]
            case 2:
                text = text[:start] + dice.choice(_ODD) + text[end:]
            case 3:
                text = text[:start] + dice.choice(_ODD) + text[start:]
            case 4:
                lines = text.split("\n")
                dice.shuffle(lines)
                text = "\n".join(lines) if dice.random() < 0.2 else text[:start]
            case 5:
                numbers = list(re.finditer(r"\d+", text))
                if numbers:
                    one = dice.choice(numbers)
                    text = text[: one.start()] + dice.choice(_ODD) + text[one.end() :]
            case 6:
                if dice.random() < 0.02:  # seldom, as they take long to read
                    text = text[:start] + (piece or dice.choice(_ODD)) * (LONG // max(len(piece), 1)) + text[end:]
    return text[: 4 * LONG]


def quantity_texts(dice: random.Random) -> Iterator[Callable[[], object]]:
    """Written values, each spoilt, read as what they are or as something else."""
    rows = [row for row in names().values() if row.kind in KINDS]
    while True:
        row, other = dice.choice(rows), dice.choice(rows)
        name = dice.choice((row, row, other)).key
        text = spoilt(dice.choice(row.example.split(" or ")).strip('"'), dice)
        yield text, lambda text=text, name=name: read(text, name)


def files(whole: list[str], reader: Callable[[str], object]) -> Callable[[random.Random], Iterator]:
    def made(dice: random.Random) -> Iterator:
        while True:
            text = spoilt(dice.choice(whole), dice)
            yield text, lambda text=text: reader(text)

    return made


def demo_recipes() -> list[str]:
    """The demo's recipe, and short ones out of its tables."""
    whole = repair.demo_path().read_text(encoding="utf-8")
    head, *steps = whole.split("[[step]]")
    return [whole, *("[[step]]".join([head, *steps[n : n + 4]]) for n in range(0, len(steps), 4))]


INPUTS = {
    "quantity text": quantity_texts,
    "recipe": files(demo_recipes(), repair.loads),
    "data sheet": files([datasheet.demo_text()], datasheet.read),
    "garage file": files([GARAGE], lambda text: measured._entries(text, Path("garage.toml"))),
}


@dataclass
class Told:
    """What came of many spoilt inputs."""

    taken: int = 0
    refused: int = 0
    others: dict[str, str] = field(default_factory=dict)  # errors that no page describes, with an input
    slow: list[tuple[float, str]] = field(default_factory=list)  # s for 100 kB, or for less
    slowest: float = 0.0
    first_mb: float = 0.0  # of memory after a tenth of them, and at the end
    last_mb: float = 0.0


def tried(what: str, number: int, seed: int = 1) -> Told:
    """So many spoilt inputs of a kind, each read."""
    told, made = Told(), INPUTS[what](random.Random(seed))
    for _ in range(20):  # tables are read at the first
        with contextlib.suppress(InputError):
            next(made)[1]()
    for turn in range(number):
        text, call = next(made)
        began = time.process_time()
        try:
            call()
            told.taken += 1
        except InputError:
            told.refused += 1
        except Exception as error:
            told.others.setdefault(f"{type(error).__name__}: {error}"[:200], text[:300])
        took = (time.process_time() - began) / max(1.0, len(text) / LONG)
        if took > SLOW:  # a slow input is slow again; memory that is cleared up meanwhile is not its fault
            began = time.process_time()
            with contextlib.suppress(Exception):
                call()
            took = min(took, (time.process_time() - began) / max(1.0, len(text) / LONG))
        told.slowest = max(told.slowest, took)
        if took > SLOW:
            told.slow.append((took, text[:100]))
        if turn == number // 10:
            told.first_mb = memory()
    told.last_mb = memory()
    return told


def memory() -> float:
    """Of this process, in MB; nothing where the system does not say."""
    try:
        return int(Path("/proc/self/statm").read_text().split()[1]) * 4096 / 1e6
    except OSError:
        return 0.0


# --- a damaged progress file -------------------------------------------------------------------------------


def damaged_progress(home: Path, number: int, seed: int = 4) -> Told:
    """Bytes changed, holes, ends cut off: it is read as it is, set aside or refused, and the next try is kept."""
    told, dice = Told(), random.Random(seed)
    progress = Progress()
    for turn in range(40):
        progress.store("try", f"film-{turn % 5}", seed="b-07", answer=f"{turn} µm", outcome="wrong")
    with closing(sqlite3.connect(home / FILE)) as db:
        db.execute("pragma wal_checkpoint(truncate)")
    sound = (home / FILE).read_bytes()
    for turn in range(number):
        for file in home.iterdir():
            file.unlink()
        data = bytearray(sound)
        start = dice.randrange(len(data))
        end = start + dice.choice([1, 1, 1, 8, 900])
        if turn % 10 == 0:
            del data[start:]
        elif turn % 10 == 1:
            data[start % 100] = dice.randrange(256)
        else:
            data[start:end] = dice.randbytes(len(data[start:end]))
        (home / FILE).write_bytes(data)
        began = time.process_time()
        try:
            Progress().events()
            Progress().store("try", "new")
            assert Progress().events()[-1].key == "new"
            aside = list(home.glob("*-set-aside-*.sqlite"))
            assert not aside or [file.read_bytes() for file in aside] == [bytes(data)], "nothing is destroyed"
            told.taken += 1
        except InputError:
            told.refused += 1
        except Exception as error:
            told.others.setdefault(f"{type(error).__name__}: {error}"[:200], f"turn {turn}")
        told.slowest = max(told.slowest, time.process_time() - began)
        if turn == number // 10:
            told.first_mb = memory()
    told.last_mb = memory()
    return told


# --- writers -----------------------------------------------------------------------------------------------


# Each writes under its name, a number at a time.
def _garage_file(name: str) -> Callable[[int], object]:
    return lambda number: measured.load().enter("force", scale=f"{1 + number / 10000} kg")


def _settings(name: str) -> Callable[[int], object]:
    return lambda number: folder.keep_setting(f"{name}-{number}", number)


def _draft(name: str) -> Callable[[int], object]:
    draft, _ = recipe_files.DraftFile.of(recipe_files.DRAFT)

    def write(number: int) -> None:
        assert "could not" not in draft.keep({"title": f"{name}-{number}"})

    return write


def _recipe(name: str) -> Callable[[int], object]:
    recipe = demo()

    def write(number: int) -> None:
        title = f"{name} {number}"
        titled = replace(recipe, title=title, written={**recipe.written, "title": title})
        recipe_files.save(titled, recipe_files.KeptFile(), over=True)

    return write


def _progress(name: str) -> Callable[[int], object]:
    progress = Progress()
    return lambda number: progress.store("try", "film-1", answer=f"{name}-{number}", outcome="wrong")


WRITERS = {
    "garage file": _garage_file,
    "settings": _settings,
    "draft": _draft,
    "recipe": _recipe,
    "progress": _progress,
}
# Processes forked from one that has this module imported: to start each anew takes longer than what it writes.
_FORKS = multiprocessing.get_context("spawn" if os.name == "nt" else "forkserver")
_FORKS.set_forkserver_preload(["tests.faults"])


class Writer:
    """A process that says a number once what it wrote is kept."""

    def __init__(self, what: str, name: str, first: int, last: int):
        self.hears, says = _FORKS.Pipe(duplex=False)
        given = (os.environ["COURSEKIT_HOME"], what, name, range(first, last), says)
        self.process = _FORKS.Process(target=_writing, args=given, daemon=True)
        self.process.start()
        says.close()

    def said(self) -> int:
        return self.hears.recv()

    def rest(self) -> list[int]:
        """All that it says until it ends."""
        numbers = []
        with contextlib.suppress(EOFError):
            while True:
                numbers.append(self.hears.recv())
        self.hears.close()
        self.process.join()
        return numbers

    def kill(self) -> None:
        self.process.kill()


def _writing(home: str, what: str, name: str, numbers: range, says: Connection) -> None:
    os.environ["COURSEKIT_HOME"] = home
    write = WRITERS[what](name)
    for number in numbers:
        write(number)
        says.send(number)


def kept(what: str, home: Path) -> dict[str, list[int]]:
    """The numbers that stand in the files, in their order, by the name of their writer ("" where it is not told)."""
    if what == "garage file":
        texts = [
            f" {round((float(np.max(entry.readings['scale'])) - 1) * 10000)}" for entry in measured.load().entries
        ]
    elif what == "settings":
        texts = list(json.loads((home / "settings.json").read_text(encoding="utf-8")))
    elif what == "draft":
        drafts = [recipe_files.DraftFile.of(path.name)[1] for path in home.glob("*draft*.json")]
        texts = [one["title"] for one in drafts]
    elif what == "recipe":
        texts = [repair.load(file).title for file in (home / "repairs").glob("*.toml")]
    else:
        texts = [event.answer for event in Progress().events("try")]
    found: dict[str, list[int]] = {}
    for text in texts:
        name, _, number = re.sub("[- ]", "|", text).rpartition("|")
        found.setdefault(name, []).append(int(number))
    return found


def written_at_once(what: str, home: Path, each: int, processes: int = 4) -> tuple[int, int]:
    """Several processes write at once: how many said "kept", and how many of these are there."""
    running = [Writer(what, f"n{number}", 0, each) for number in range(processes)]
    said = {f"n{number}": one.rest() for number, one in enumerate(running)}
    there = kept(what, home)
    if what == "draft":  # a draft is written over by its own form only: its last state counts
        lost = sum(there.get(name) != [numbers[-1]] for name, numbers in said.items() if numbers)
        return sum(map(len, said.values())), sum(map(len, said.values())) - lost
    if what == "garage file":
        return sum(map(len, said.values())), min(len(there.get("", [])), sum(map(len, said.values())))
    return sum(map(len, said.values())), sum(
        number in set(there.get(name, [])) for name, numbers in said.items() for number in numbers
    )


def killed(what: str, home: Path, kills: int, seed: int = 3) -> tuple[int, int]:
    """A writer is killed again and again: how many it said were kept, and how many of these are lost."""
    dice, said = random.Random(seed), []
    for turn in range(kills):
        name = "k" if what != "recipe" else f"k{turn}"
        first = (said[-1] + 1) if said else 0
        one = Writer(what, name, first, 1_000_000)
        said += [one.said() for _ in range(dice.randrange(1, 8))]
        time.sleep(dice.random() * 0.02)
        one.kill()
        said += one.rest()
        there = {number for numbers in kept(what, home).values() for number in numbers}
        last = max(there, default=-1)
        if what == "draft":
            if last < said[-1]:
                return len(said), 1
        elif lost := [number for number in said if number not in there]:
            return len(said), len(lost)
        said += [last] if last > said[-1] else []  # written, and killed before it could say so
    return len(said), 0
