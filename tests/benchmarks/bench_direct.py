"""Every tool beside slow independent solutions: flat and crowns along length and width, waves of 30 to 800 mm.

`python -m tests.benchmarks.bench_direct` prints the cases of which more than a tenth of the wave goes. It takes a
while: boards that bend are solved beam by beam.
"""

import itertools
from collections.abc import Iterator

import numpy as np

from coursekit.repair.vocabulary import tools
from tests.benchmarks.timing import Figure
from tests.test_panel_contact import levelled

RADII = (np.inf, 10.0, 3.0, 1.0)  # m
WAVES = (0.03, 0.05, 0.1, 0.2, 0.4, 0.8)  # m
GOES = 0.1  # of a wave


def cases() -> Iterator[tuple[str, float, float]]:
    """What it is, and how much of the wave goes in direct contact and on the panel."""
    for name, side, radius, wave in itertools.product(tools(), ("length", "width"), RADII, WAVES):
        direct, found = levelled(name, side, radius, wave)
        if direct > GOES:
            yield f"{name}, {side}, R {radius:g} m, {wave * 1e3:.0f} mm", direct, found


def figures() -> Iterator[Figure]:
    """The worst of them."""
    off = {name: abs(found / direct - 1) for name, direct, found in cases()}
    worst = max(off, key=lambda name: off[name])
    yield Figure(f"{worst}, worst of {len(off)}: off by", off[worst], "", 0.1)


def main() -> None:
    """Print them all."""
    for name, direct, found in cases():
        print(f"{name:46} {direct:6.3f} {found:6.3f} {100 * (found / direct - 1):+5.1f} %", flush=True)


if __name__ == "__main__":
    main()
