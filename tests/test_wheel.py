"""The built package, with the source out of reach: every table and lesson is there and can be read."""

import shutil
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
READ_ALL = """
import importlib, pkgutil, sys, coursekit
from coursekit import nomenclature, sources
tables = nomenclature.resources.files("coursekit") / "tables"
for folder in tables.iterdir():
    if folder.is_dir() and folder.name not in ("data", "demo", "tasks"):  # whole files, not rows to be merged
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


LEFT_OUT = shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints", "*.egg-info", "build", "dist")


def files(folder, below):
    return {
        p.relative_to(folder).as_posix()
        for p in (folder / below).rglob("*")
        if p.is_file() and "__pycache__" not in p.parts
    }


@pytest.fixture(scope="module")
def source(tmp_path_factory):
    """What is in the repository, and nothing else."""
    copied = tmp_path_factory.mktemp("source")
    for name in ("coursekit", "notebooks", "tests", "binder", ".ci"):
        shutil.copytree(ROOT / name, copied / name, ignore=LEFT_OUT)
    for name in ("pyproject.toml", "README.md", "DEVELOPERS.md"):
        shutil.copy(ROOT / name, copied)
    return copied


def test_installed_package_is_complete(source, tmp_path):
    target = tmp_path / "installed"
    pip = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", tmp_path, source]
    subprocess.run(pip, check=True, cwd=tmp_path, timeout=200)
    [wheel] = tmp_path.glob("*.whl")
    names = set(zipfile.ZipFile(wheel).namelist())
    assert any(name.endswith("licenses/coursekit/LICENSE") for name in names)
    for settings in (
        "share/jupyter/lab/settings/overrides.d/coursekit.json",
        "etc/jupyter/jupyter_nbconvert_config.json",
        "etc/jupyter/jupyter_server_config.d/coursekit.json",
    ):
        assert any(name.endswith(settings) for name in names)
    pip = [sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--target", target, wheel]
    subprocess.run(pip, check=True, cwd=tmp_path, timeout=200)
    assert files(target, "coursekit") == files(source, "coursekit")
    place = {"PYTHONPATH": str(target), "COURSEKIT_HOME": str(tmp_path)}
    for command in (
        [sys.executable, "-c", READ_ALL, str(target)],
        [sys.executable, "-m", "coursekit", "lessons", str(tmp_path / "lessons")],
    ):
        done = subprocess.run(command, cwd=tmp_path, env=place, capture_output=True, text=True, timeout=60)
        assert done.returncode == 0, done.stderr
    lessons = {name for name in files(tmp_path, "lessons") if not name.startswith("lessons/.")}
    assert {name.removeprefix("lessons/") for name in lessons} == {
        name.removeprefix("notebooks/") for name in files(source, "notebooks")
    }


def test_source_archive_holds_all_that_the_tests_need(source, tmp_path):
    pytest.importorskip("build", reason="pip install build")
    command = [sys.executable, "-m", "build", "--sdist", "--outdir", tmp_path, source]
    subprocess.run(command, check=True, cwd=tmp_path, timeout=200, capture_output=True)
    [archive] = tmp_path.glob("*.tar.gz")
    with tarfile.open(archive) as packed:
        names = {name.partition("/")[2] for name in packed.getnames()}
    wanted = {name for below in ("coursekit", "notebooks", "tests", "binder", ".ci") for name in files(source, below)}
    wanted |= {"pyproject.toml", "README.md", "DEVELOPERS.md"}
    assert {name for name in wanted if ".egg-info" not in name} <= names
