"""What a notebook calls; each of these is one line of a cell.

    from coursekit import lesson
    lesson.ready()                 # the first cell: is all well, metric or US
    lesson.predict("film-thinned")
    lesson.bench("film")
    lesson.worked("film-1")
    lesson.exercise("film-1")
    lesson.outfit()                # the learner's guns, paints, hands and panels; one of each is chosen
    lesson.measure("delivery"), lesson.measurements(), lesson.garage()   # a form; all; the file
    lesson.plan_coat()             # notebook 05: the form and sheet of one real coat
    lesson.play_repair(), lesson.many_hands()   # notebook 17: a whole repair to drag, and hand variation
    lesson.plan_repair()           # notebook 24: an own damage asked for, a plan proposed, changed and printed
    lesson.step_table(), lesson.step_pictures(), lesson.diagnose("impatient_repair", "run")
    lesson.path(), lesson.checks("film"), lesson.data_sheet("surfacer")
    lesson.facts()                 # what the facts in print did to the bands of spraying
    lesson.glossary("film"), lesson.cautions("spraying"), lesson.sources_of("film"), lesson.progress()
    lesson.review()                # days later: earlier exercises mixed, failed ones first
    lesson.join_class("garage-7", "Ana")   # a learner takes up the numbers of a class
    lesson.learner_set("garage-7", "Ana", "01-film")   # the instructor sees that learner's exercises, answers, ways
    lesson.paper("key", "01-film", "garage-7", ["Ana"]).save("key.html")   # also "exercises" and "cards"
    lesson.hand_in("/shared/class")        # a learner's progress, copied into a folder of the class
    lesson.class_progress("/shared/class")  # the instructor: where the class is stuck; .save_csv("class.csv")
    lesson.static_page("01-film").save("film.html")   # a lesson for a browser alone: no Python, no network
    lesson.wall("01-film", 10, "new")      # on a wall: one question, one bench, hands counted, then the answer
    lesson.script("01-film", 10, "new")    # for an instructor: what to show, ask, expect; .paper to print
    lesson.usual_times("clear")    # what data sheets usually print: flash, recoat, sand, pot life

How to add one of them: README.md in this folder.
"""

from __future__ import annotations

from typing import Any

from coursekit import repair as _repair
from coursekit.lesson import views as _views
from coursekit.lesson.coat.form import CoatForm as _CoatForm
from coursekit.lesson.content.declared import declared_bench as _declared_bench
from coursekit.lesson.content.declared import declared_exercise as _declared_exercise
from coursekit.lesson.draw import panel_strip as _panel_strip
from coursekit.lesson.learner import seed as _seed
from coursekit.lesson.learner import unit_system as _unit_system
from coursekit.lesson.pages.cautions import cautions
from coursekit.lesson.pages.data_sheet import data_sheet
from coursekit.lesson.pages.evidence import checks, facts
from coursekit.lesson.pages.glossary import glossary
from coursekit.lesson.pages.path import path as _path
from coursekit.lesson.pages.standing import progress
from coursekit.lesson.pages.usual_times import usual_times
from coursekit.lesson.pages.where_from import sources_of
from coursekit.lesson.plan.form import PlanForm as _PlanForm
from coursekit.lesson.practice.attempt import Attempt as _Attempt
from coursekit.lesson.practice.examples import Worked as _Worked
from coursekit.lesson.practice.examples import example as _example
from coursekit.lesson.practice.prediction import Prediction as _Prediction
from coursekit.lesson.practice.prediction import prediction as _prediction
from coursekit.lesson.practice.review import Review as _Review
from coursekit.lesson.repair import drag as _drag
from coursekit.lesson.repair.many_hands import Hands as _Hands
from coursekit.lesson.screen import page as _page
from coursekit.lesson.teaching.gathering import class_progress, hand_in
from coursekit.lesson.teaching.numbers import join_class, learner_set
from coursekit.lesson.teaching.paper import paper
from coursekit.lesson.teaching.script import script
from coursekit.lesson.teaching.static_page import lesson_page as static_page
from coursekit.lesson.teaching.wall import Wall as _Wall
from coursekit.lesson.workbench.bench import Bench as _Bench
from coursekit.repair.playing import RecipeLike as _RecipeLike
from coursekit.repair.playing import as_replay as _as_replay

__all__ = [
    "bench",
    "cautions",
    "checks",
    "class_progress",
    "data_sheet",
    "diagnose",
    "exercise",
    "facts",
    "garage",
    "glossary",
    "hand_in",
    "join_class",
    "learner_set",
    "many_hands",
    "measure",
    "measurements",
    "outfit",
    "paper",
    "path",
    "plan_coat",
    "plan_repair",
    "play_repair",
    "predict",
    "progress",
    "ready",
    "review",
    "script",
    "seed",
    "sources_of",
    "static_page",
    "step_pictures",
    "step_table",
    "units",
    "usual_times",
    "wall",
    "worked",
]


def __dir__() -> list[str]:
    """What a notebook calls; the rooms are no part of it."""
    return __all__


def ready() -> _views.ReadyView:
    """Is all well, and if not, the one command that mends it; the choice of metric or US. Run it at any time."""
    _page.dress(again=True)
    return _views.ReadyView()


def bench(key: str) -> _Bench:
    """A bench at its start values: controls, picture and sentence. Also `.set(wet_film="120 µm")`, `.words`."""
    return _declared_bench(key).fresh(key)


def exercise(key: str) -> _Attempt:
    """A checked exercise with the learner's own numbers. Also `.answer("54 µm")`, `.hint()`, `.another()`."""
    return _Attempt(_declared_exercise(key))


def review() -> _Review:
    """Exercises of earlier lessons, days later: failed ones first, with new numbers. Also `.attempts`."""
    return _Review()


def worked(key: str) -> _Worked:
    """A worked example, carried out now. Also `.answer("54 µm")` and `.show()` where the last steps are yours."""
    return _example(key)


def predict(key: str) -> _Prediction:
    """A question to answer before the bench. Also `.predict("…")` and `.compare()`."""
    return _prediction(key)


def measure(way: str) -> _views.MeasureView:
    """How to make a garage measurement, and the form to enter it."""
    return _views.MeasureView(way)


def measurements() -> _views.MeasurementsView:
    """Every garage measurement with a search; its form opens under it."""
    return _views.MeasurementsView()


def outfit() -> _views.OutfitView:
    """Your guns, paints, hands and panels: choose one of each, or write down your own."""
    return _views.OutfitView()


def garage() -> _views.GarageView:
    """What you measured in your own garage, where the file lies, and what is not measured yet."""
    return _views.GarageView()


def plan_coat() -> _CoatForm:
    """The form of one real coat of your own, and its sheet. Also `.set(area="1.2 m²")`, `.make()`."""
    return _CoatForm()


def plan_repair(recipe: _RecipeLike | None = None) -> _PlanForm:
    """The plan of a repair of your own: as you left it, or a file. Also `.propose()`, `.pick(4).set(force="9 N")`."""
    return _PlanForm(recipe)


def play_repair(recipe: _RecipeLike | None = None) -> _drag.RepairBench:
    """A whole repair to drag: the demo's, or a recipe file of your own. Also `.step(16).set(strokes="900")`."""
    return _drag.RepairBench(recipe)


def many_hands(recipe: _RecipeLike | None = None) -> _Hands:
    """The same repair by many hands, with progress, to be stopped at any time. Also `.play(100)`."""
    return _Hands(recipe)


def step_table(which: str = "door_repair") -> _page.Piece:
    """The steps of a demo repair with verdicts and reasons: "door_repair" or "impatient_repair"."""
    made = _drag.step_table(_repair.replay(_repair.demo_path(which)))
    return _page.Piece(_page.folded("Every step, what it leaves, and its verdict", made.html), made.text)


def step_pictures(which: str = "door_repair", view: str = "height") -> _page.Piece:
    """The panel of a demo repair after each step that changed it, as small maps of "what shows", "height", …"""
    return _panel_strip.step_pictures(which, view)


def diagnose(recipe: _RecipeLike, seen: str, where: Any = "repair") -> _views.DiagnosisView:
    """What went wrong? A defect traced back through a repair, a demo's or a file of your own, in the units shown."""
    played = _as_replay(_repair.demo_path(recipe) if recipe in ("door_repair", "impatient_repair") else recipe)
    return _views.DiagnosisView(played, seen, where)


def wall(lesson: Any = "01-film", minutes: Any = 10, level: Any = "new") -> _Wall:
    """A lesson on a wall: one question and one bench at a time. Also `.count("…", 7)`, `.reveal()`, `.next()`."""
    return _Wall(lesson, minutes, level)


def path() -> _page.Piece:
    """The notebooks of the course, with a link to each that is there, and the short way to the garage."""
    return _path()


def units(system: str) -> None:
    """Show every lesson in "metric" or "us" from now on; `ready()` has the same choice as a button."""
    _unit_system.choose(system)


def seed(text: Any = None) -> str:
    """The seed of this learner's numbers; give one to set it, for a class or to get the same numbers again."""
    return _seed.seed() if text is None else _seed.set_seed(text)
