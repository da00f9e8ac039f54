"""What a notebook calls; each of these is one line of a cell.

    from coursekit import lesson
    lesson.ready()                 # the first cell: is all well, metric or US
    lesson.predict("film-thinned")
    lesson.bench("film")
    lesson.worked("film-1")
    lesson.exercise("film-1")
    lesson.outfit()                # the learner's guns, paints, hands and panels; one of each is chosen
    lesson.measure("delivery"), lesson.garage()
    lesson.plan_coat()             # notebook 05: the form and sheet of one real coat
    lesson.play_repair(), lesson.many_hands()   # notebook 17: a whole repair to drag, and the luck of the hand
    lesson.plan_repair()           # notebook 24: the plan of a whole repair of your own, its recipe and its sheet
    lesson.step_table(), lesson.step_pictures(), lesson.diagnose("impatient_repair", "run")
    lesson.path(), lesson.checks("film"), lesson.data_sheet("surfacer")
    lesson.facts()                 # what the facts in print did to the bands of spraying
    lesson.glossary("film"), lesson.cautions("spraying"), lesson.sources_of("film"), lesson.progress()
    lesson.usual_times("clear")    # what data sheets usually print: flash, recoat, sand, pot life

How to add one of them: README.md in this folder.
"""

from __future__ import annotations

import importlib
import pkgutil
from typing import Any

from coursekit.lesson.pages.guide import cautions, glossary, progress, sources_of, usual_times
from coursekit.lesson.practice.exercise import EXERCISES as _EXERCISES
from coursekit.lesson.screen import page as _page
from coursekit.lesson.workbench.bench import Bench as _Bench
from coursekit.measurements import ways as _ways
from coursekit.quantities import InputError as _InputError

__all__ = [
    "bench",
    "cautions",
    "checks",
    "data_sheet",
    "diagnose",
    "exercise",
    "facts",
    "garage",
    "glossary",
    "many_hands",
    "measure",
    "outfit",
    "path",
    "plan_coat",
    "plan_repair",
    "play_repair",
    "predict",
    "progress",
    "ready",
    "seed",
    "sources_of",
    "step_pictures",
    "step_table",
    "units",
    "usual_times",
    "worked",
]


def ready() -> Any:
    """Is all well, and if not, the one command that mends it; the choice of metric or US. Run it at any time."""
    from coursekit.lesson.screen import widgets

    _page.show_script()
    return widgets.ReadyView()


def bench(key: str) -> _Bench:
    """A bench at its start values: controls, picture and sentence. Also `.set(wet_film="120 µm")`, `.words`."""
    _page.show_script()
    return declared_bench(key).fresh(key)


def declared_bench(key: str) -> _Bench:
    """The bench as its file declares it."""
    found: _Bench = _part("benches", key, key).bench
    return found


def exercise(key: str) -> Any:
    """A checked exercise with the learner's own numbers. Also `.answer("54 µm")`, `.hint()`, `.another()`."""
    from coursekit.lesson.practice.attempt import Attempt

    _page.show_script()
    return Attempt(declared_exercise(key))


def declared_exercise(key: str) -> Any:
    """The exercise as its file declares it."""
    _part("exercises", str(key).rpartition("-")[0], key)
    if key not in _EXERCISES:
        raise _InputError("exercise", f"{key!r:.40} is not an exercise.", f"There are: {', '.join(_EXERCISES)}.")
    return _EXERCISES[key]


def worked(key: str) -> _page.Piece:
    """A worked example, carried out now."""
    from coursekit.lesson.practice.examples import example

    return _page.Piece(example(key).html, example(key).words)


def predict(key: str) -> Any:
    """A question to answer before the bench. Also `.predict("…")` and `.compare()`."""
    from coursekit.lesson.practice.prediction import prediction

    _page.show_script()
    return prediction(key)


def measure(way: str) -> Any:
    """How to make a garage measurement, and the form to enter it."""
    from coursekit.lesson.screen import widgets

    if way not in _ways():
        raise _InputError("measure", f"{way!r:.40} is no measurement.", f"There are: {', '.join(_ways())}.")
    _page.show_script()
    return widgets.MeasureView(way)


def outfit() -> Any:
    """Your guns, paints, hands and panels: choose one of each, or write down your own."""
    from coursekit.lesson.pins.view import OutfitView

    _page.show_script()
    return OutfitView()


def garage() -> Any:
    """What you measured in your own garage, where the file lies, and what is not measured yet."""
    from coursekit.lesson.screen import widgets

    return widgets.GarageView()


def plan_coat() -> Any:
    """The form of one real coat of your own, and its sheet. Also `.set(area="1.2 m²")`, `.make()`."""
    from coursekit.lesson.coat.form import CoatForm

    _page.show_script()
    return CoatForm()


def plan_repair(recipe: Any = None) -> Any:
    """The plan of a whole repair of your own: as you left it, or a file. Also `.pick(14).set(strokes="500")`."""
    from coursekit.lesson.plan.form import PlanForm

    _page.show_script()
    return PlanForm(recipe)


def play_repair(recipe: Any = None) -> Any:
    """A whole repair to drag: the demo's, or a recipe file of your own. Also `.step(16).set(strokes="900")`."""
    from coursekit.lesson.repair.drag import RepairBench

    _page.show_script()
    return RepairBench(recipe)


def many_hands(recipe: Any = None) -> Any:
    """The same repair by many hands, with progress, to be stopped at any time. Also `.play(100)`."""
    from coursekit.lesson.repair.many_hands import Hands

    _page.show_script()
    return Hands(recipe)


def step_table(which: str = "door_repair") -> _page.Piece:
    """The steps of a demo repair with verdicts and reasons: "door_repair" or "impatient_repair"."""
    from coursekit.lesson.repair.drag import step_table
    from coursekit.repair import demo_path, replay

    made = step_table(replay(demo_path(which)))
    return _page.Piece(_page.folded("Every step, what it leaves, and its verdict", made.html), made.text)


def step_pictures(which: str = "door_repair", view: str = "height") -> _page.Piece:
    """The panel of a demo repair after each step that changed it, as small maps of "what shows", "height", …"""
    from coursekit.lesson.draw.panel_strip import step_pictures

    return step_pictures(which, view)


def diagnose(recipe: Any, seen: str, where: Any = "repair") -> Any:
    """What went wrong? A defect traced back through a repair, a demo's or a file of your own, in the units shown."""
    from coursekit.lesson.repair.view import DiagnosisView
    from coursekit.repair import demo_path
    from coursekit.repair.playing import as_replay

    played = as_replay(demo_path(recipe) if recipe in ("door_repair", "impatient_repair") else recipe)
    return DiagnosisView(played, seen, where)


def path() -> _page.Piece:
    """The notebooks of the course, with a link to each that is there, and the short way to the garage."""
    from coursekit.lesson.course import notebook_list

    return notebook_list.path()


def checks(*parts: str) -> _page.Piece:
    """How do you know? The printed cases the course is held to: those of some parts, or how many there are."""
    from coursekit.lesson.pages import evidence

    return evidence.checks(*parts)


def facts() -> _page.Piece:
    """What each fact in print did to the bands of spraying, before you measure anything."""
    from coursekit.lesson.pages import evidence

    return evidence.facts()


def data_sheet(material: str = "surfacer", file: Any = None) -> _page.Piece:
    """A data sheet: what is written on it, what follows, what is missing; the demo's, or a file of your own."""
    from coursekit.lesson.pages import data_sheet as sheet_page

    return sheet_page.data_sheet(material, file)


def units(system: str) -> None:
    """Show every lesson in "metric" or "us" from now on; `ready()` has the same choice as a button."""
    from coursekit.lesson.learner import unit_system

    unit_system.choose(system)


def seed(text: Any = None) -> str:
    """The seed of this learner's numbers; give one to set it, for a class or to get the same numbers again."""
    from coursekit.lesson.learner import own

    return own.seed() if text is None else own.set_seed(text)


def _part(folder: str, name: str, key: str) -> Any:
    """The file of a bench or an exercise; InputError names what there is."""
    here = importlib.import_module(f"coursekit.lesson.content.{folder}")
    module = str(name).replace("-", "_")
    known = sorted(found.name for found in pkgutil.iter_modules(here.__path__))
    if module not in known:
        there = ", ".join(found.replace("_", "-") for found in known)
        raise _InputError(folder.rstrip("s"), f"{key!r:.40} is not there.", f"There are: {there}.")
    return importlib.import_module(f"{here.__name__}.{module}")
