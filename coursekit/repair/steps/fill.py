"""Fill: filler is spread into the low of the metal."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from coursekit.figure import Figure
from coursekit.nomenclature import System
from coursekit.panel import Filled, Panel, fill
from coursekit.repair.fields import quantity, where
from coursekit.repair.given import Given, Place
from coursekit.repair.steps.step import Before, Refused, Timed, entry, lasting

FILLER = "filler"


@dataclass(frozen=True, kw_only=True)
class Fill(Timed):
    """Spread filler over a part of the panel."""

    do: ClassVar[str] = "fill"
    cautions: ClassVar[tuple[str, ...]] = ("room", "solvent", "rags", "skin and eyes", "hardener")

    time: float = lasting("10 min", meaning="how long the spreading takes, from the mixing on", seldom=True)
    proud: float = entry(
        quantity(
            "proud_filler",
            "0.2 mm",
            label="filler stands above the form by",
            dragged=True,
            slider=((0.02, 1, 0.02), (0.001, 0.04, 0.001)),
        )
    )
    ripple: float = entry(
        quantity(
            "ripple",
            "0.1 mm",
            label="waves the spreader leaves",
            dragged=True,
            slider=((0.01, 0.4, 0.01), (0.0005, 0.016, 0.0005)),
        )
    )
    area: Place | None = entry(where("damage", label="where", meaning="the part of the panel that is filled"))

    def act(self, panel: Panel, given: Given, finer: float = 1.0) -> tuple[Panel, Filled]:
        return self.while_drying(
            panel, given, fill, area=self.area, proud=self.proud, ripple=self.ripple, seed=self.seed(given)
        )

    @property
    def brings(self) -> str:
        return FILLER

    def chance(self, given: Given) -> int | None:
        return int(given.hand["seed"])  # the ripples lie elsewhere, however steady the hand

    def misplaced(self) -> Refused | None:
        if self.area is None:
            return Refused("area", "is the whole panel.", "Fill a part of it.")
        return None

    def refused(self, before: Before, given: Given) -> Refused | None:
        if before.top not in (before.bare, FILLER, "epoxy primer", "old paint"):
            remedy = "Fill first; surfacer and colour go over the filler."
            return Refused("do", f"puts filler over {before.top}.", remedy)
        return None

    def leaves(self, before: Before) -> Before:
        return before._replace(top=FILLER, wet=FILLER, dried=0.0)

    def look_for(self, system: System) -> Iterator[str]:
        yield f"about {Figure(self.proud, 'proud_filler', system):2} proud all over, its edge on feathered paint"
