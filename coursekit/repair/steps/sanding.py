"""What the steps that sand have in common: what is held, how it is pressed, how it cuts."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from coursekit.errors import InUnits
from coursekit.panel import Panel, Paper, Sanded, Tool, paper_of, worked_area
from coursekit.panel.sanding import sand_again
from coursekit.panel.tools import pieces_of
from coursekit.quantities import InputError
from coursekit.repair.fields import Field, choice, quantity, where
from coursekit.repair.given import Given, Place
from coursekit.repair.steps.step import WAIT, Before, Refused, Step, entry
from coursekit.repair.vocabulary import tools
from coursekit.sanding.blocks import Block as Size
from coursekit.sanding.grits import Grade
from coursekit.sanding.scratches import LEAST_PRESSURE, MOST_PRESSURE
from coursekit.uncertain import Coefficient

HAND_GIVES = (
    "A hand gives ",
    InUnits(10, "force"),
    " to ",
    InUnits(40, "force"),
    ": press so, or take another block.",
)
DIRECTIONS = ("along", "across", "cross")
ALONG = {"along": "x", "across": "y", "cross": "cross"}  # as the panel calls them
STILL_WET = 0.25  # of the time to sand: until then the paper tears a soft film, and nothing can be computed (assumed)
MACHINE_TIME = ((0.5, 20, 0.5), (0.5, 20, 0.5))  # min


def held(use: str, usual: str) -> Any:
    """The entry of what is held: the tools that are for this."""
    names = tuple(name for name, tool in tools().items() if use in tool["use"])
    meaning = "block, board or pad, by its backing and how far it bends; its size is that of the table"
    return entry(choice(names, usual, label="held in the hand", meaning=meaning, dragged=True))


def graded(first: str) -> Any:
    """The entry of a paper, and the one that a new step begins with."""
    meaning = "grade of the paper with its scale, as printed on its back"
    return entry(Field("grade", label="paper", meaning=meaning, first=first, dragged=True))


@dataclass(frozen=True, kw_only=True)
class Sand(Step):
    """A step that sands with something that is held and pressed."""

    cautions: ClassVar[tuple[str, ...]] = ("dust",)

    tool: str
    force: float = entry(
        quantity(
            "force",
            "20 N",
            label="force of the hand",
            meaning="how hard the hand presses; a kitchen scale shows it. Left out: as is usual with the tool",
            dragged=True,
            by="tool",
            usual=tuple((name, f"{row['force']:g} N") for name, row in tools().items()),
        )
    )
    keep_off: float | None = entry(
        quantity(
            "place",
            "",
            label="kept off the body line by",
            meaning="distance that the edge of the tool keeps from the body line; empty: it crosses the line",
            dragged=True,
            slider=((0, 60, 1), (0, 2.4, 0.1)),
        )
    )
    area: Place | None = entry(where(label="where", meaning="where the middle of the tool goes"))
    overhang: float = entry(
        quantity(
            "overhang",
            "40 %",
            label="most it hangs over an edge",
            meaning="share of the tool that may hang over the panel's edge",
            seldom=True,
        )
    )

    def holds(self, given: Given | None = None) -> Tool:
        """What the hand or the machine holds; with what is given, the pad as the learner measured it."""
        row = tools()[self.tool]
        backing = row["backing"]
        if given is not None and isinstance(backing, Coefficient):
            backing = float(given.sanding[backing.key])
        size = self.size
        length, width = (size.length, size.width) if size else (row["length"], row["width"])
        if self.round:
            length = width = length * math.sqrt(math.pi) / 2  # the square of equal area
        return Tool(self.tool, length, width, float(backing), row["bending"])

    @property
    def size(self) -> Size | None:
        """The size of the learner's own block, when it is another than the tool's."""
        return None

    @property
    def round(self) -> bool:
        """Whether it is a disc."""
        return self.size.disc if self.size else bool(tools()[self.tool].get("disc"))

    def pressure(self, tool: Tool) -> float:
        """Mean pressure under the tool, Pa. Raises InputError where scratches are not known."""
        pressure = self.force / tool.area
        if not LEAST_PRESSURE <= pressure <= MOST_PRESSURE:
            raise InputError(
                "force",
                (
                    InUnits(self.force, "force"),
                    " is ",
                    InUnits(pressure, "pressure"),
                    " under this tool; scratches are known from ",
                    InUnits(LEAST_PRESSURE, "pressure"),
                    " to ",
                    InUnits(MOST_PRESSURE, "pressure"),
                    ".",
                ),
                HAND_GIVES,
            )
        return pressure

    def cuts(self, given: Given, distance: float = 0.0) -> Paper:
        """What cuts, under that hand, while the tool slides that far (m)."""
        raise NotImplementedError

    def rub(
        self,
        panel: Panel,
        given: Given,
        call: Callable[..., tuple[Panel, Sanded]],
        distance: float,
        **settings: Any,
    ) -> tuple[Panel, Sanded]:
        """The act of the panel, with what cuts as sharp as it is in the mean over that distance (m)."""
        return call(
            panel,
            tool=self.holds(given),
            paper=self.cuts(given, distance),
            force=self.force,
            area=self.area,
            overhang=self.overhang,
            keep_off=self.keep_off,
            hand=given.hand["variation"],
            seed=self.seed(given),
            **settings,
        )

    def again(
        self, panel: Panel, given: Given, then: tuple[Panel, Panel], used: Sanded
    ) -> tuple[Panel, Sanded] | None:
        """Roughly what it does, taken from how it was done on another panel; nothing where it cannot be."""
        return sand_again(panel, self.holds(given), self.cuts(given), self.force, then, used)

    def refused(self, before: Before, given: Given) -> Refused | None:
        wet = before.wet
        if wet and before.dried < STILL_WET * (needed := given.materials[wet]["dry_to_sand"]):
            rest = f" of about {_time(needed - before.dried)} before it, longer when it is cold."
            return Refused("do", f"sands the {wet} while it is still wet.", ("Put a step ", WAIT, rest))
        return None


@dataclass(frozen=True, kw_only=True)
class WithPaper(Sand):
    """Sanding with a paper, which is changed when it cuts half as fast as fresh."""

    with_: ClassVar[str] = "paper"

    paper: Grade

    @property
    def wet(self) -> bool:
        """Whether water carries the dust off."""
        return False

    def cuts(self, given: Given, distance: float = 0.0) -> Paper:
        tool, known = self.holds(given), given.sanding
        known.pop("pad_stiffness")
        self.pressure(tool)
        return paper_of(self.paper, tool, self.force, given.hardness, **known, distance=distance, wet=self.wet)

    def rub(
        self,
        panel: Panel,
        given: Given,
        call: Callable[..., tuple[Panel, Sanded]],
        distance: float,
        **settings: Any,
    ) -> tuple[Panel, Sanded]:
        new, used = super().rub(panel, given, call, distance, **settings)
        pieces = pieces_of(self.paper, self.holds(given), sum(used.removed.values()), used.travel, self.wet)
        return new, replace(used, pieces=pieces)


@dataclass(frozen=True, kw_only=True)
class ByHand(WithPaper):
    """Sanding in strokes."""

    strokes: float = entry(
        quantity(
            "strokes_over",
            label="strokes over each spot",
            first="100",
            dragged=True,
            slider=((10, 1500, 10), (10, 1500, 10)),
        )
    )
    direction: str = entry(
        choice(
            DIRECTIONS,
            "cross",
            label="direction of the strokes",
            meaning="along the car, across it, or both in turn",
            dragged=True,
        )
    )
    block: Size | None = entry(
        Field(
            "block",
            default="",
            label="size of your own block",
            meaning="sides of the face of your own block; empty: as the table of tools has it",
            seldom=True,
        )
    )

    water: str = entry(
        choice(
            ("dry", "wet"),
            "dry",
            label="dry or wet",
            meaning="wet: with water and a drop of soap; the paper is full later, and what was sanded is rinsed, "
            "wiped and dry before anything goes on it. Never on filler or bare metal",
            seldom=True,
        )
    )

    @property
    def wet(self) -> bool:
        return self.water == "wet"

    @property
    def size(self) -> Size | None:
        return self.block

    def stroke(
        self, panel: Panel, given: Given, call: Callable[..., tuple[Panel, Sanded]], finer: float
    ) -> tuple[Panel, Sanded]:
        """So many strokes over each spot."""
        tool = self.holds(given)
        distance = self.strokes * tool.length * max(1.0, worked_area(panel, self.area) / tool.area)
        along = ALONG[self.direction]
        speed = tools()[self.tool]["speed"]
        return self.rub(panel, given, call, distance, strokes=self.strokes, along=along, speed=speed, finer=finer)


@dataclass(frozen=True, kw_only=True)
class ByMachine(Sand):
    """Sanding with an orbital machine, for a time."""

    time: float
    rotation: float
    orbit: float

    def run(
        self, panel: Panel, given: Given, call: Callable[..., tuple[Panel, Sanded]], finer: float
    ) -> tuple[Panel, Sanded]:
        """For that time, on the whole area."""
        distance = math.pi * self.orbit * self.rotation * self.time
        return self.rub(
            panel, given, call, distance, time=self.time, orbit=self.orbit, rate=self.rotation, finer=finer
        )

    def leaves(self, before: Before) -> Before:
        return before._replace(dried=before.dried + self.time)


def turning(default: str) -> Any:
    """The entry of how fast the machine turns."""
    return entry(quantity("rotation", default, label="turns of the machine", seldom=True))


def orbiting(default: str, dragged: bool = False) -> Any:
    """The entry of the machine's orbit."""
    return entry(quantity("orbit", default, seldom=True, dragged=dragged))


def _time(seconds: float) -> str:
    return f"{seconds / 60:.0f} min" if seconds < 2 * 3600 else f"{seconds / 3600:.1f} h"
