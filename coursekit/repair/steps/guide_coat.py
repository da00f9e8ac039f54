"""Guide coat: a mist in another colour shows what the block has not reached."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from coursekit.nomenclature import System
from coursekit.panel import Panel, Used, guide_coat
from coursekit.repair.fields import where
from coursekit.repair.given import Given, Place
from coursekit.repair.steps.step import WAIT_FIRST, Before, Refused, Timed, entry, lasting


@dataclass(frozen=True, kw_only=True)
class GuideCoat(Timed):
    """Dust a guide coat on."""

    do: ClassVar[str] = "guide coat"
    quick: ClassVar[bool] = True

    time: float = lasting("2 min", meaning="how long the dusting takes", seldom=True)
    area: Place | None = entry(where(label="where", meaning="the part of the panel that gets the guide coat"))

    def act(self, panel: Panel, given: Given, finer: float = 1.0) -> tuple[Panel, Used]:
        return self.while_drying(panel, given, guide_coat, area=self.area)

    def refused(self, before: Before, given: Given) -> Refused | None:
        if before.wet and before.dried < given.materials[before.wet]["dry_to_recoat"]:
            return Refused("do", f"dusts a guide coat on wet {before.wet}.", WAIT_FIRST)
        return None

    def look_for(self, system: System) -> Iterator[str]:
        yield "an even mist; the film under it still shows through"
