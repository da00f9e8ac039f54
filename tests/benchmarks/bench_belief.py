"""A measurement taken into the belief: with the gun it was made with, and with another tip, where less counts."""

import itertools
import os
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from unittest import mock

from coursekit import belief, measured
from coursekit.garage_entry import MadeWith
from coursekit.spraying import Gun, Paint
from tests.benchmarks.timing import Figure
from tests.test_my_gun import CUPS

TRIES, LIMIT = 3, 0.5  # s
GUN = Gun("my gun", tip_bore="1.3 mm", turns=2, gun_inlet_pressure="2 bar", fan_opening="100 %")
PAINT = Paint("clear", density="1 kg/L", volume_solids="45 %", kinematic_viscosity="30 mm²/s")
FIRST_CUP = itertools.count(30)  # mL: each try takes in readings that nobody took in before


def figures() -> Iterator[Figure]:
    belief.shipped()
    with_13, with_16 = MadeWith.of(GUN, PAINT), MadeWith.of(GUN.but(tip_bore="1.6 mm"), PAINT)
    yield Figure("cups of three turns, taken in", _taken_in(with_13, with_13), "s", LIMIT)
    yield Figure("the same, made with another tip", _taken_in(with_13, with_16), "s", LIMIT)


def _taken_in(made: MadeWith, used: MadeWith) -> float:
    """Least seconds from writing cups down, made with one gun, to the draws of a number of the other."""
    tries = []
    for _ in range(TRIES):
        with tempfile.TemporaryDirectory() as place, mock.patch.dict(os.environ, COURSEKIT_HOME=place):
            file = measured.load(Path(place) / "garage.toml").with_(made)
            begun = time.perf_counter()
            file.enter("turns", made_with=made, **{**CUPS, "one_turn": f"{next(FIRST_CUP)} mL"})
            file.with_(used).belief.column("delivery_scale")
            tries.append(time.perf_counter() - begun)
    return min(tries)
