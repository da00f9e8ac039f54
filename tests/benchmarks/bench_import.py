"""What an import costs in a fresh interpreter, over numpy and pint, and what it pulls in."""

import subprocess
import sys

from tests.benchmarks.timing import Figure

TRIES = 7
CODE = """
import sys, time, numpy, pint
start = time.perf_counter()
{statement}
print(time.perf_counter() - start)
print(sum(name in sys.modules for name in ("matplotlib", "ipywidgets", "IPython")))
"""
ALL = "from coursekit import film, mixing, sanding, spraying, drying, colour, garage, measured"


def fresh(statement):
    """(least seconds, heavy packages pulled in) of a statement, each try in an interpreter of its own."""
    runs = []
    for _ in range(TRIES):
        command = [sys.executable, "-c", CODE.format(statement=statement)]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        runs.append([float(line) for line in done.stdout.split()])
    return min(seconds for seconds, _ in runs), runs[0][1]


def figures():
    for what, statement, wanted in (("import coursekit", "import coursekit", 0.15), ("all trades", ALL, None)):
        seconds, heavy = fresh(statement)
        yield Figure(f"{what}, over numpy and pint", seconds, "s", wanted)
        yield Figure("  of matplotlib, ipywidgets, IPython it pulls in", heavy, "", 0)
    lessons, _ = fresh("import coursekit.lesson")
    yield Figure("import coursekit.lesson (with its pictures and widgets)", lessons, "s")
