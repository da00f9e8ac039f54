"""The built package, with the source out of reach: every table is there and can be read."""

import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
READ_ALL = """
import importlib, pkgutil, sys, coursekit
from coursekit import nomenclature, sources
tables = nomenclature.resources.files("coursekit") / "tables"
for folder in tables.iterdir():
    if folder.is_dir() and folder.name not in ("data", "demo"):  # whole files, not rows to be merged
        assert nomenclature.load_tables(folder.name), folder
assert nomenclature.names() and sources.sources() and sources.coefficients()
for module in pkgutil.walk_packages(coursekit.__path__, "coursekit."):
    if not module.name.endswith("__main__"):
        importlib.import_module(module.name)
from coursekit import datasheet, repair
assert datasheet.demo() and repair.load(repair.demo_path("door_repair")).steps
strays = [m.__file__ for n, m in sys.modules.items() if n.startswith("coursekit") and sys.argv[1] not in m.__file__]
assert not strays, strays
"""


def files(folder):
    return {p.relative_to(folder).as_posix() for p in (folder / "coursekit").rglob("*")
            if p.is_file() and "__pycache__" not in p.parts}  # fmt: skip


def test_installed_package_is_complete(tmp_path):
    source, target = tmp_path / "source", tmp_path / "installed"
    source.mkdir()
    shutil.copytree(ROOT / "coursekit", source / "coursekit", ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md"):
        shutil.copy(ROOT / name, source)
    expected = files(source)
    pip = [sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--target", target, source]
    subprocess.run(pip, check=True, cwd=tmp_path, timeout=200)
    shutil.rmtree(source)
    assert files(target) == expected
    run = [sys.executable, "-c", READ_ALL, str(target)]
    done = subprocess.run(run, cwd=tmp_path, env={"PYTHONPATH": str(target), "COURSEKIT_HOME": str(tmp_path)},
                          capture_output=True, text=True, timeout=60)  # fmt: skip
    assert done.returncode == 0, done.stderr
