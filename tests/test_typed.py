"""What a type checker says of the public calls: names and types of arguments, types of results."""

import os
import re
import subprocess
import sys

import pytest

from tests.calls import ROOT

SAMPLE = """\
from coursekit import film, mixing, repair, sanding, spraying, units
from coursekit.repair.entry import SprayEntry
from coursekit.repair.steps import Spray
from coursekit.spraying import Gun

gun = Gun("my gun", tip_bore="1.3 mm", turns=2, gun_inlet_pressure="20 psi")

# what is taken, and what comes of it
reveal_type(film.dry_film("120 µm", "45 %"))  # Quantity
reveal_type(film.dry_film(["120 µm", "4.7 mil"], 0.45).to("mil"))  # Quantity
reveal_type(film.dry_film(wet_film=units("120 µm"), volume_solids=0.45))  # Quantity
reveal_type(film.gauge_average([["60 µm", "62 µm", "64 µm"]]))  # GaugeAverage
reveal_type(mixing.batch("4:1:1", "600 mL", densities=["1 kg/L", "1 kg/L", "0.9 kg/L"]))  # Batch
reveal_type(sanding.wave_verdict("1 µm", "50 mm"))  # str
reveal_type(sanding.judge_sequence(["P320"], "20 N", "70 x 125 mm", "surfacer", "60 µm")[0].strokes)  # Band
reveal_type(spraying.fluid_delivery(gun=gun, kinematic_viscosity="30 mm²/s", cap_pressure="0.7 bar"))  # Quantity

# settings of a step of a repair, and what it used
step = repair.load("mine.toml").steps[9]
assert isinstance(step, Spray)
reveal_type(step.fluid_delivery)  # float
reveal_type(step.area)  # tuple
played = repair.replay("mine.toml")[9]
assert isinstance(played, SprayEntry)
reveal_type(played.used.hung)  # float

# what is refused
step.delivery  # refused
played.used.pieces  # refused
film.dry_film(wet=3)  # refused
film.dry_film("120 µm")  # refused
film.dry_film("120 µm", "45 %", "10 %")  # refused
film.dry_film("120 µm", None)  # refused
film.dry_film({"wet": "120 µm"}, 0.45)  # refused
sanding.wave_verdict(["1 µm", "2 µm"], "50 mm")  # refused
mixing.batch("4:1:1", "600 mL", densities="1 kg/L", parts=3)  # refused
Gun("my gun", tip="1.3 mm")  # refused
"""


@pytest.fixture(scope="module")
def said(tmp_path_factory):
    """What mypy says of each line of the sample, as of a program outside the package."""
    folder = tmp_path_factory.mktemp("typed")
    (folder / "sample.py").write_text(SAMPLE, encoding="utf-8")
    command = [sys.executable, "-m", "mypy", "--config-file=", "--strict", "--follow-imports=silent", "sample.py"]
    done = subprocess.run(
        command, cwd=folder, capture_output=True, text=True, timeout=200, env={**os.environ, "MYPYPATH": str(ROOT)}
    )
    told = {}
    for number, text in re.findall(r"^sample\.py:(\d+): (.*)$", done.stdout, re.MULTILINE):
        told.setdefault(int(number), []).append(text)
    assert told, done.stdout + done.stderr
    return told


LINES = [(number, line) for number, line in enumerate(SAMPLE.splitlines(), 1) if line[:1] not in ("#", "")]


@pytest.mark.parametrize(("number", "line"), LINES, ids=[f"line {number}" for number, _ in LINES])
def test_a_type_checker_knows_the_calls(said, number, line):
    errors = [text for text in said.get(number, []) if text.startswith("error")]
    _, _, wanted = line.partition("  # ")
    if wanted == "refused":
        assert errors, line
        return
    assert not errors, f"{line}\n{errors}"
    if line.startswith("reveal_type"):
        found = next(text for text in said[number] if "Revealed type" in text)
        assert re.search(rf'(["\.]){wanted}\b', found), f"{line}\n{found}"
