"""Every tool beside slow independent solutions: flat and crowns along length and width, waves of 30 to 800 mm.

`python -m tests.benchmarks.bench_direct` prints the cases of which more than a tenth of the wave goes, the worst last.
"""

import itertools

import numpy as np

from coursekit.repair.vocabulary import tools
from tests.test_panel_contact import levelled

RADII = (np.inf, 10.0, 3.0, 1.0)  # m
WAVES = (0.03, 0.05, 0.1, 0.2, 0.4, 0.8)  # m
GOES = 0.1  # of a wave


def main() -> None:
    """Print the cases, and how far the worst is off."""
    off = {}
    for name, side, radius, wave in itertools.product(tools(), ("length", "width"), RADII, WAVES):
        direct, found = levelled(name, side, radius, wave)
        if direct > GOES:
            off[name, side, radius, wave] = found / direct - 1
            print(f"{name:18} {side:6} R {radius:4g} m  {wave * 1e3:3.0f} mm  {direct:6.3f} {found:6.3f}", flush=True)
    worst = max(off, key=lambda case: abs(off[case]))
    print(f"{len(off)} cases, worst {100 * off[worst]:+.1f} %: {worst}")


if __name__ == "__main__":
    main()
