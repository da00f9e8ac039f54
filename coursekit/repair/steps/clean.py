"""Clean: wax, grease and dust are wiped off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from coursekit.nomenclature import System
from coursekit.panel import Panel, Used, wash
from coursekit.repair.fields import where, whole
from coursekit.repair.given import Given, Place
from coursekit.repair.steps.step import WAIT_FIRST, Before, Refused, Timed, entry, lasting


@dataclass(frozen=True, kw_only=True)
class Clean(Timed):
    """Wipe wet and dry, each time with clean cloths."""

    do: ClassVar[str] = "clean"
    quick: ClassVar[bool] = True
    cautions: ClassVar[tuple[str, ...]] = ("room", "solvent", "rags", "skin and eyes")

    wipes: int = entry(
        whole("wipes", 2, label="times wiped", dragged=True, slider=((0, 6, 1), (0, 6, 1))),
    )
    time: float = lasting("10 min", meaning="how long the wiping takes, all wipes together", seldom=True)
    area: Place | None = entry(where(label="where", meaning="the part of the panel that is wiped"))

    def act(self, panel: Panel, given: Given, finer: float = 1.0) -> tuple[Panel, Used]:
        return self.while_drying(panel, given, wash, wipes=self.wipes, area=self.area)

    def refused(self, before: Before, given: Given) -> Refused | None:
        if before.wet and before.dried < given.materials[before.wet]["dry_to_recoat"]:
            return Refused("do", f"wipes wet {before.wet}.", WAIT_FIRST)
        return None

    def look_for(self, system: System) -> Iterator[str]:
        yield "a clean white cloth stays white; water runs off as one film"
