"""`python -m tests.benchmarks [part of a name]`: every figure of every bench_*.py in one run, as a table.

A bench file has `figures()`, which yields Figure rows. Figures are least times of many tries, and ratios of two of
them taken in the same run: a machine is fast or slow, a ratio is not. Nothing here fails a test.
"""

import importlib
import sys
from pathlib import Path

from tests.benchmarks.timing import Figure


def main(part: str = "") -> None:
    print(f"{'what':58} {'measured':>14}  {'to reach':16} {'':6}")
    for path in sorted(Path(__file__).parent.glob("bench_*.py")):
        if part not in path.stem:
            continue
        print(f"-- {path.stem.removeprefix('bench_')}")
        for figure in importlib.import_module(f"tests.benchmarks.{path.stem}").figures():
            print(row(figure), flush=True)


def row(figure: Figure) -> str:
    measured = f"{figure.value:.3g} {figure.unit}".strip()
    wanted = f"{figure.side} {figure.wanted:g} {figure.unit}".strip() if figure.wanted is not None else ""
    return f"{figure.what:58} {measured:>14}  {wanted:16} {figure.verdict:6}"


if __name__ == "__main__":
    main(*sys.argv[1:2])
