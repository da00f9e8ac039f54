"""What keeps the house in order: which way imports go, and that call, docstring and tables say the same."""

import ast
import inspect
import json
import math
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from coursekit.describing import described
from coursekit.measurements import ways
from coursekit.nomenclature import KINDS, load_tables, names
from coursekit.quantities import from_unit
from coursekit.sources import coefficients, sources
from coursekit.uncertain import Coefficient
from coursekit.unit_grammar import unit_of
from tests.calls import ROOT, TRADES, public_calls

PACKAGE = ROOT / "coursekit"
MODULES = sorted(PACKAGE.rglob("*.py"))

# --- arrows ------------------------------------------------------------------------------------------------

# A module may import what stands on its own floor or below.
FLOORS = [
    {
        "constants",
        "unit_grammar",
        "registry",
        "results",
        "describing",
        "showing",
        "figure",
        "uncertain",
        "belief",
        "nomenclature",
        "errors",
        "reading",
        "quantities",
        "special",
        "sources",
        "verdicts",
        "tomlfile",
        "records",
        "keeping",
        "console",
        "folder",
        "substances",
        "markup",
        "drawing",
        "template",
    },
    {"film"},
    {"measured", "measurements", "garage_entry"},
    set(TRADES) - {"film"},
    {"datasheet", "outfit", "reference", "course"},
    {"panel"},
    {"repair"},
    {"lesson", "__main__"},
]
READ_BY_THE_CALL = ("choice", "grade", "ratio", "text", "record")  # kinds that the unit grammar does not know
FLOOR_OF = {name: floor for floor, group in enumerate(FLOORS) for name in group}
# Who may import which library; numpy anyone, the standard library anyone.
ALLOWED = {
    "pint": {"registry"},
    "markupsafe": {"markup"},
    "jinja2": {"template"},
    "ipywidgets": {"lesson"},
    "matplotlib": {"lesson"},
    "IPython": {"lesson"},
    "PIL": {"lesson"},
    "traitlets": {"lesson"},
}


def floor_name(path):
    first = path.relative_to(PACKAGE).parts[0]
    return first.removesuffix(".py")


def imports(path):
    """(line, dotted name) of every import, those inside functions too."""
    package = ("coursekit", *path.relative_to(PACKAGE).parent.parts)
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(package[: len(package) - node.level + 1]) if node.level else ""
            module = ".".join(p for p in (base, node.module or "") if p)
            yield from ((node.lineno, f"{module}.{alias.name}") for alias in node.names)


@pytest.mark.parametrize("path", MODULES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_arrows(path):
    own = floor_name(path)
    if own == "__init__":
        own = "quantities"
    assert own in FLOOR_OF, f"{path.name} stands on no floor: put {own} into FLOORS of tests/test_house.py"
    for line, name in imports(path):
        top, *rest = name.split(".")
        where = f"{path.relative_to(ROOT)}:{line} imports {name}"
        if top == "coursekit":
            target = rest[0] if rest else own
            if target in FLOOR_OF:
                assert FLOOR_OF[target] <= FLOOR_OF[own], (
                    f"{where}, which stands above it: let the upper one call the lower."
                )
        elif top in ALLOWED:
            assert own in ALLOWED[top], f"{where}: only {', '.join(sorted(ALLOWED[top]))} may."
        else:
            assert top == "numpy" or top in sys.stdlib_module_names, f"{where}: not a run-time package."


def module_name(path):
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def test_no_module_imports_itself_in_a_circle():
    """Imports inside functions and for types alone count too."""
    modules = {module_name(path): path for path in MODULES}
    graph = {}
    for module, path in modules.items():
        found = {name if name in modules else name.rpartition(".")[0] for _, name in imports(path)}
        graph[module] = (found & modules.keys()) - {module}
    before = None
    while before != len(
        graph
    ):  # what imports nothing that is left stands in no circle, nor what nothing left imports
        before = len(graph)
        used = set().union(*graph.values()) if graph else set()
        graph = {module: found & graph.keys() for module, found in graph.items() if module in used}
        graph = {module: found for module, found in graph.items() if found & graph.keys()}
    told = "\n".join(f"{module} → {', '.join(sorted(found))}" for module, found in sorted(graph.items()))
    assert not graph, f"These import one another; let the upper one call the lower, or part them:\n{told}"


@pytest.mark.parametrize("module", ["", *(f".{t}" for t in TRADES), ".measured", ".datasheet", ".panel", ".repair"])
def test_import_stays_light(module):
    if module and not list(PACKAGE.glob(module.strip(".") + "*")):
        pytest.skip(f"coursekit{module} is not there")
    heavy = ("matplotlib", "ipywidgets", "IPython", "PIL", "scipy")
    code = f"import sys, coursekit{module}; print([m for m in {heavy} if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, timeout=60)
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == "[]", f"import coursekit{module} pulls in {done.stdout.strip()}"


# --- public calls ------------------------------------------------------------------------------------------

CALLS = [pytest.param(path, call, id=path) for path, call in public_calls()]
CONTRACT = {
    "film": [
        "dry_film(wet_film, volume_solids)",
        "wet_film(dry_film, volume_solids, reduction)",
        "spreading_rate(dry_film, volume_solids, transfer_efficiency)",
        "paint_needed(area, dry_film, volume_solids, transfer_efficiency, coats)",
    ],
    "mixing": [
        "batch(ratio, total, densities)",
        "isocyanate_parts(hydroxyl_value, nco_content, index)",
        "pot_life(reference, temperature, reference_temperature)",
    ],
    "sanding": [
        "grain_size(grade)",
        "scratch_depth(grade, pressure, hardness)",
        "judge_sequence(grades, force, block, hardness, film)",
    ],
    "spraying": [
        "viscosity_from_cup(cup, time)",
        "cap_jet(gauge_pressure, temperature)",
        "hose_loss(flow, length, bore, inlet_pressure)",
        "trigger_time(receiver_volume, from_pressure, to_pressure, air_use, delivery)",
        "evenness(profile, pitch, width)",
        "settling_speed(diameter, density)",
        "tilt_ratio(tilt, fan_half_angle)",
        "sag_speed(wet_film, viscosity, density)",
        "levelling_time(wavelength, wet_film, viscosity, surface_tension)",
    ],
}


@pytest.mark.parametrize(("trade", "wanted"), [(t, c) for t, calls in CONTRACT.items() for c in calls])
def test_calls_that_people_rely_on(trade, wanted):
    """Names, arguments and their order are kept; more may follow."""
    import importlib

    name, arguments = re.fullmatch(r"(\w+)\((.*)\)", wanted).groups()
    call = getattr(importlib.import_module(f"coursekit.{trade}"), name)
    wanted_order = arguments.split(", ")
    assert list(inspect.signature(call).parameters)[: len(wanted_order)] == wanted_order


def test_every_trade_can_be_imported():
    import importlib

    for trade in TRADES:
        importlib.import_module(f"coursekit.{trade}")


def docstring_lines(call):
    return inspect.cleandoc(call.si.__doc__ or "").splitlines()


@pytest.mark.parametrize(("path", "call"), CALLS)
def test_help_says_what_the_door_does(path, call):
    found = described(call)
    assert len(found.what) > 10, f"{path} says in no line what it computes"
    told = {one.name: one for one in found.arguments}
    for argument, parameter in inspect.signature(call.si).parameters.items():
        assert argument in names(), f"{path}: {argument} has no row in tables/names/"
        row = names()[argument]
        wanted = KINDS[row.kind].words if row.kind in KINDS else "one of a few words" if row.options else row.kind
        assert wanted in told[argument].kind, f"{path}: help does not say that {argument} is {wanted}"
        if row.kind in KINDS:
            assert math.isfinite(row.low) and math.isfinite(row.high), f"tables/names: {argument} has no low and high"
        assert row.kind != "choice" or row.options, f"tables/names: {argument} has no options"
        default = parameter.default
        if isinstance(default, Coefficient):
            assert coefficients()[default.key] == default, f"{path}: {argument}"
            assert default.name == argument or default.key == argument, (
                f"{path}: {argument} defaults to coefficient {default.key}, a {default.name}"
            )
            assert default.kind in told[argument].usual, f"{path}: help does not say how sure {argument} is"
    for word in ("Gives", "Raises", "Holds", "Source:"):
        assert re.search(rf"(^|[.;] ){word}", found.rest, re.MULTILINE), f"{path}: help has no {word!r}"


@pytest.mark.parametrize(("path", "call"), CALLS)
def test_docstring_repeats_no_row(path, call):
    """A line of an argument says only what its row cannot know; `describing` reads it as "name: remark"."""
    for argument in inspect.signature(call.si).parameters:
        old = [line for line in docstring_lines(call) if re.match(rf"{argument}\s{{2,}}\S", line)]
        assert not old, f"{path}: write '{argument}: …', and only what tables/names/ does not say: {old}"


@pytest.mark.parametrize(("path", "call"), CALLS)
def test_sources_of_a_call_exist(path, call):
    text = " ".join(docstring_lines(call))
    assert "Source:" in text, f"{path} names no source"
    for part in text.rsplit("Source:", 1)[1].split(";"):
        first, *rest = (word.strip(" .") for word in part.split(","))
        key = first.split(" ")[0]
        assert key in sources(), f"{path}: {key!r} is not a key in tables/sources/"
        for word in rest:
            looks_like_key = re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)+", word)
            assert not looks_like_key or word in sources(), f"{path}: {word!r} is not a key in tables/sources/"


def given_names(gives):
    if isinstance(gives, str):
        yield gives
    elif gives:
        for inner in gives.values():
            yield from given_names(inner)


@pytest.mark.parametrize(("path", "call"), CALLS)
def test_results_are_in_the_nomenclature(path, call):
    for name in given_names(call.gives):
        assert name in names(), f"{path} gives {name!r}, which has no row in tables/names/"


@pytest.mark.parametrize(("path", "call"), CALLS)
def test_public_call_is_annotated(path, call):
    signature = inspect.signature(call.si)
    bare = [a for a, p in signature.parameters.items() if p.annotation is p.empty]
    assert not bare, f"{path}: no type at {bare}"
    assert signature.return_annotation is not signature.empty, f"{path}: no type of the result"


# --- tables ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", list(names()))
def test_row_of_the_nomenclature(name):
    row = names()[name]
    assert row.label and row.meaning, f"{name} has no label or meaning"
    assert row.kind in KINDS or row.kind in READ_BY_THE_CALL, f"{name}: {row.kind!r} is no kind"
    if row.kind not in KINDS:
        return
    wanted = unit_of(KINDS[row.kind].si).dimension
    for system in ("metric", "us"):
        unit = unit_of(row.unit(system))
        assert unit is not None and unit.dimension == wanted, f"{name}: {row.unit(system)!r} is no unit of {row.kind}"
    for slider, system in ((row.slider, "metric"), (row.slider_us, "us")):
        if slider:
            low, high = (from_unit(v, name, system) for v in slider[:2])
            slack = 1e-6 * (row.high - row.low)
            assert row.low - slack <= low < high <= row.high + slack, f"{name}: {system} slider leaves low to high"
            steps = (slider[1] - slider[0]) / slider[2]
            assert 2 <= steps <= 2000, f"{name}: the {system} slider has {steps:g} steps"
    if row.slider and row.unit("us") != row.unit("metric"):
        assert row.slider_us, f"{name} has a metric slider and none for US units"


def words_of_the_project():
    """Everything that could use a row: code, notebooks, lessons, and tables other than the nomenclature."""
    files = [p for p in PACKAGE.rglob("*") if p.suffix in (".py", ".toml", ".js") and "names" not in p.parts]
    files += [*(ROOT / "notebooks").rglob("*.ipynb")]
    files += [p for p in (ROOT / "tests").rglob("*") if p.suffix in (".py", ".toml")]
    files = [p for p in files if p.name != "test_house.py" and "sources" not in p.parts]
    return set(re.findall(r"[A-Za-z_]\w*", "\n".join(p.read_text(encoding="utf-8") for p in files)))


def test_every_row_of_the_nomenclature_is_used():
    unused = sorted(set(names()) - words_of_the_project())
    assert not unused, f"used nowhere, delete them from tables/names/: {', '.join(unused)}"


def keys_called_source(value):
    if isinstance(value, dict):
        for key, inner in value.items():
            if (key == "source" or key.endswith("_source")) and isinstance(inner, str):
                yield inner
            else:
                yield from keys_called_source(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from keys_called_source(inner)


TABLES = sorted((PACKAGE / "tables").rglob("*.toml"))


@pytest.mark.parametrize("path", TABLES, ids=lambda p: p.relative_to(PACKAGE).as_posix())
def test_sources_of_a_table_exist(path):
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    found = list(keys_called_source(table))
    missing = [key for key in found if key not in sources()]
    assert not missing, f"{path.name}: no such key in tables/sources/: {missing}"
    bare = path.parent.name in ("names", "sources", "demo", "examples", "tasks")
    assert found or bare, f"{path.name}: no row says where it is from"


def test_every_source_is_used():
    files = [
        p
        for p in [*PACKAGE.rglob("*"), *(ROOT / "tests").rglob("*"), *(ROOT / "notebooks").rglob("*.ipynb")]
        if p.suffix in (".py", ".toml", ".ipynb") and p.parent.name != "sources"
    ]
    words = set().union(*(re.findall(r"[\w-]+", p.read_text(encoding="utf-8")) for p in files))
    assert all(re.fullmatch(r"[\w-]+", key) for key in sources())
    unused = [key for key in sources() if key not in words]
    assert not unused, f"named nowhere, delete them from tables/sources/: {', '.join(unused)}"


def test_every_coefficient_is_used():
    unused = sorted(set(coefficients()) - words_of_the_project())
    assert not unused, f"used nowhere, delete them from tables/coefficients/: {', '.join(unused)}"
    assert all(c.name in names() for c in coefficients().values())
    assert {key for way in ways().values() for key in way.gives} <= set(coefficients())


def test_readme_of_the_tables_lists_every_folder():
    text = (PACKAGE / "tables" / "README.md").read_text(encoding="utf-8")
    for folder in (PACKAGE / "tables").iterdir():
        if folder.is_dir() and folder.name != "__pycache__":
            assert f"`{folder.name}/`" in text, f"tables/README.md does not say what {folder.name}/ is"
            if folder.name in ("names", "sources", "coefficients", "measurements"):
                assert load_tables(folder.name)


# --- files -------------------------------------------------------------------------------------------------

TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "notebooks", "coursekit", "tests", "binder"}
MADE_BY_TOOLS = {"build", "dist"}


def test_top_level():
    strays = (
        {p.name for p in ROOT.iterdir() if not p.name.startswith(".") and p.suffix != ".egg-info"}
        - TOP
        - MADE_BY_TOOLS
    )
    assert not strays, f"the top level holds only {sorted(TOP)}: move {sorted(strays)}"
    assert {p.name for p in ROOT.iterdir()} >= TOP


NOTEBOOKS = sorted(p for p in (ROOT / "notebooks").rglob("*.ipynb") if ".ipynb_checkpoints" not in p.parts)


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_notebook_is_stored_clean(path):
    notebook = json.loads(path.read_text(encoding="utf-8"))
    remedy = "Clear all outputs before saving it."
    assert notebook["metadata"]["kernelspec"]["name"] == "python3"
    assert "widgets" not in notebook["metadata"], f"{path.name} keeps the state of its widgets. {remedy}"
    for number, cell in enumerate(notebook["cells"], 1):
        if cell["cell_type"] == "code":
            assert not cell["outputs"], f"{path.name}, cell {number} keeps outputs. {remedy}"
            assert cell["execution_count"] is None, f"{path.name}, cell {number} keeps its count. {remedy}"


def test_readme():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    first = text.split("\n\n")[1]
    assert len(first) > 300 and not first.startswith(("#", "-", "|")), "README begins with the job in one paragraph"
    for link in re.findall(r"\]\(([^)#]+)\)", text):
        assert (ROOT / link).exists(), f"README points to {link}, which is not there"
    for path in NOTEBOOKS:
        assert f"`{path.stem}`" in text, f"README does not say what {path.name} teaches"
    assert len(re.findall(r"^python3 -m venv .*pytest$", text, re.MULTILINE)) == 1, ".ci/run reads it here"


def test_developers_md_names_files_that_are_there():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    for name in set(re.findall(r"`((?:coursekit|tests|notebooks|binder|\.ci)/[\w/.-]+)`", text)):
        assert (ROOT / name).exists(), f"DEVELOPERS.md names {name}, which is not there"


def test_hosted_copy_has_the_same_packages():
    assert (ROOT / "binder" / "requirements.txt").read_text().split() == ["."]


def test_ruff():
    command = [sys.executable, "-m", "ruff", "check", "coursekit", "tests"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, done.stdout[-3000:]


def test_ruff_format():
    """One formatter, and no line that is kept from it."""
    done = subprocess.run(
        [sys.executable, "-m", "ruff", "format", "--check", "coursekit", "tests"],
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    kept_off = "fmt: " + "skip"
    for file in [*ROOT.glob("coursekit/**/*.py"), *ROOT.glob("tests/**/*.py")]:
        assert kept_off not in file.read_text(encoding="utf-8"), f"{file} keeps a line from the formatter"


def test_mypy():
    done = subprocess.run([sys.executable, "-m", "mypy"], cwd=ROOT, capture_output=True, text=True, timeout=200)
    assert done.returncode == 0, done.stdout[-3000:]


@pytest.mark.parametrize("path", MODULES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_module_can_be_taken_in(path):
    lines = len(path.read_text(encoding="utf-8").splitlines())
    assert lines <= 450, f"{path.name} has {lines} lines: part it (about 300 is the aim)"


def test_paths_are_where_this_file_looks():
    assert MODULES and TABLES and Path(__file__).parent == ROOT / "tests"
