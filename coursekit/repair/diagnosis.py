"""What went wrong? A defect that was seen, traced back through the learner's own repair, figure by figure."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator, Mapping
from typing import Any, NamedTuple

from coursekit.garage import cautions
from coursekit.markup import Markup, each, folded, table, tag, together
from coursekit.nomenclature import System, load_data
from coursekit.quantities import InputError, read, read_choice
from coursekit.repair import coat_signs, surface_signs
from coursekit.repair.evidence import Evidence, Sign
from coursekit.repair.given import Place
from coursekit.repair.playing import RecipeLike, as_replay
from coursekit.repair.reading import AREA_KEYS
from coursekit.repair.recipe import Recipe
from coursekit.repair.start import shape_of
from coursekit.repair.words import Reason

CLOSE = 0.8  # from this share of a limit on, a figure speaks neither way
WORDS = ("points to it", "is close to the limit", "points away from it")
START = "The start (garage, old paint)"
EXAMPLE = '{"x": "300 mm", "y": "200 mm", "width": "10 cm", "height": "5 cm"}'
PLACES = ("all", "repair", "damage")


class Finding(NamedTuple):
    """One step (0 is the garage) weighed against one cause: `ratio` over 1 is past the limit."""

    cause: str
    step: int
    step_words: str
    ratio: float
    reason: Reason

    @property
    def says(self) -> str:
        """Whether the figure points to the cause, is close to the limit, or points away from it."""
        return WORDS[0] if self.ratio > 1 else WORDS[1] if self.ratio > CLOSE else WORDS[2]

    def text(self, system: System = "metric") -> str:
        """The finding in words."""
        reason = self.reason.text(system)
        return f"{self.step_words} – {self.cause}. {reason[:1].upper()}{reason[1:]}. This {self.says}."


# What a remedy asks for, by the word that tells it, and the topic of its cautions.
MENDS = {
    **dict.fromkeys(("spray", "coat", "prime", "build", "clear again", "more base"), "isocyanate"),
    **dict.fromkeys(("sand", "block", "board", "feather", "rust", "polish", "level", "loose"), "dust"),
    **dict.fromkeys(("wash", "clean", "wipe"), "solvent"),
}


class Diagnosis(NamedTuple):
    """What the repair itself says of a defect.

    findings      every step weighed, the strongest first
    not_computed  causes on which the course has no figure
    now, system   what to do with the panel as it is; the units to speak in
    """

    seen: str
    means: str
    where: str
    findings: tuple[Finding, ...]
    not_computed: tuple[str, ...]
    now: str
    system: System

    @property
    def steps(self) -> tuple[int, ...]:
        """Numbers of the steps that a figure points to, the strongest first; 0 is the garage."""
        return tuple(dict.fromkeys(finding.step for finding in self.findings if finding.ratio > 1))

    @property
    def causes(self) -> tuple[str, ...]:
        """Causes that a figure points to, the strongest first."""
        return tuple(dict.fromkeys(finding.cause for finding in self.findings if finding.ratio > 1))

    def __str__(self) -> str:
        lines = [f"{self.seen[:1].upper() + self.seen[1:]}: {self.means}. Looked at: {self.where}.", self.summary]
        lines += [f"- {finding.text(self.system)}" for finding in self.findings]
        return "\n".join([*lines, self.unknown, f"Now: {self.now}.", *self.care])

    @property
    def care(self) -> tuple[str, ...]:
        """The first caution of each kind of work that mends it."""
        return tuple(dict.fromkeys(cautions(topic)[0].text for word, topic in MENDS.items() if word in self.now))

    @property
    def summary(self) -> str:
        """How many figures point to a cause, in one sentence."""
        if not self.findings:
            return "No step of this repair gives a figure on it."
        if not self.steps:
            return (
                "No figure of this repair points to a computed cause: look at the causes that are not computed, "
                "and at whether you did what the recipe says."
            )
        named = [START[0].lower() + START[1:] if step == 0 else f"step {step}" for step in self.steps]
        return (
            f"Figures point to: {'; '.join(self.causes)}. Look first at {', '.join(named)}. A figure past its "
            "limit makes a cause possible; it does not prove it."
        )

    @property
    def unknown(self) -> str:
        """The causes that are not computed, in one sentence."""
        return f"Not computed, and just as possible: {'; '.join(self.not_computed)}." if self.not_computed else ""

    def _repr_html_(self) -> str:
        near = [finding for finding in self.findings if finding.ratio > CLOSE]
        far = [finding for finding in self.findings if finding.ratio <= CLOSE]
        count = f"{len(far)} figure{'s' if len(far) != 1 else ''} that speak{'' if len(far) != 1 else 's'} against"
        against = folded(count, self._table(far)) if far else ""
        told = each("p", (words for words in (self.unknown, f"Now: {self.now}.", *self.care) if words))
        seen = tag("p", tag("b", self.seen), f": {self.means}. Looked at: {self.where}. {self.summary}")
        return together((seen, self._table(near), told, against))

    def _table(self, findings: list[Finding]) -> Markup:
        if not findings:
            return Markup("")
        cells = [(one.step_words, one.cause, one.reason.text(self.system), one.says) for one in findings]
        head = ("where", "possible cause", "figure", "which")
        return table(head, cells, class_="ck-repair", cell_style="text-align:left")


@functools.lru_cache(maxsize=1)
def defects() -> Mapping[str, Mapping[str, Any]]:
    """Every defect that can be traced, with the usual causes."""
    return load_data("defects")


def diagnose(recipe_or_replay: RecipeLike, seen: str, where: Any = "repair", system: System = "metric") -> Diagnosis:
    """Trace what is seen back through a repair: the steps that could have caused it, each with its figure.

    recipe_or_replay  a recipe, its replay, or the path of its file
    seen              a defect of `defects()`: "run, sag", "craters", "waves", …
    where             "all", "repair", "damage", or {"x": "300 mm", "y": "200 mm", "width": "10 cm", "height": "5 cm"}
                      from the panel's lower front corner: only steps that reach it are weighed
    Gives a Diagnosis. Raises InputError for a defect or place that is not there. Source: common-practice.
    """
    read_choice(system, ("metric", "us"), "system")
    row = defects()[_named(seen)]
    replay = as_replay(recipe_or_replay)
    place, words = _place(replay.recipe, where)
    at = Evidence(replay, place)
    findings: list[Finding] = []
    for cause in row["causes"]:
        findings += (
            Finding(
                cause["say"],
                sign.step,
                _step_words(at, sign),
                sign.ratio,
                Reason(sign.ratio > 1, sign.words, sign.figures),
            )
            for sign in (_signs(cause["check"])(at) if "check" in cause else ())
        )
    findings.sort(key=lambda finding: -finding.ratio)
    unknown = tuple(cause["say"] for cause in row["causes"] if "check" not in cause)
    return Diagnosis(_named(seen), row["means"], words, tuple(findings), unknown, row["now"], system)


def _signs(check: str) -> Callable[[Evidence], Iterator[Sign]]:
    found: Callable[[Evidence], Iterator[Sign]] = getattr(
        coat_signs if hasattr(coat_signs, check) else surface_signs, check
    )
    return found


def _named(seen: Any) -> str:
    """The defect by its whole name, or by one of the words that its name lists."""
    if isinstance(seen, str):
        for name in defects():
            if seen.strip().lower() in (name, *name.split(", ")):
                return name
    return read_choice(seen, tuple(defects()), "seen")


def _step_words(at: Evidence, sign: Sign) -> str:
    return f"Step {sign.step}, {at.replay[sign.step - 1].step.words}" if sign.step else START


def _place(recipe: Recipe, where: Any) -> tuple[Place | None, str]:
    if isinstance(where, str):
        word = read_choice(where, PLACES, "where")
        damage = recipe.panel["damage"]
        if word == "all" or (damage is None and word == "repair"):
            return None, "the whole panel"
        if word == "repair":
            return recipe.repair_area, "the repair"
        if damage is None:
            raise InputError(
                "where", "needs the damage, and the recipe names none.", 'Write where="all".', kind="missing"
            )
        return (damage["x"], damage["x"] + damage["width"], damage["y"], damage["y"] + damage["height"]), "the damage"
    if not isinstance(where, Mapping) or set(where) != set(AREA_KEYS):
        raise InputError(
            "where", "is not a place on the panel.", f'Write "all", "repair", "damage", or {EXAMPLE}.', kind="place"
        )
    sides = {key: read(value, AREA_KEYS[key], f"where, {key}") for key, value in where.items()}
    for key, value in sides.items():
        if getattr(value, "ndim", 0):
            raise InputError(f"where, {key}", "is a list.", "Give one value.", kind="list")
    x, y = float(sides["x"]), float(sides["y"])
    place = x, x + float(sides["width"]), y, y + float(sides["height"])
    shape = shape_of(recipe.panel)
    columns, rows = (
        (axis >= low) & (axis <= high)
        for axis, low, high in ((shape.x, place[0], place[1]), (shape.y, place[2], place[3]))
    )
    if not (rows[:, None] & columns & shape.inside).any():
        raise InputError(
            "where",
            "does not touch the panel, or lies between two of its cells.",
            shape.how_large,
            kind="place",
        )
    return place, "the place you named"
