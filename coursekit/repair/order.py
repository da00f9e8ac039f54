"""Orders that cannot work, found before anything is computed. What only the panel can tell, the verdicts say."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coursekit.errors import Entry, Words
from coursekit.tomlfile import Document

if TYPE_CHECKING:
    from coursekit.repair.recipe import Recipe, Step

SANDING = ("block", "hand sand", "machine sand", "polish")
COLOUR = ("base", "clear")
NEEDS_SURFACER = ("filler", "bare metal", "bare plastic")
WAIT = Entry("do", '"wait"')
WAIT_FIRST = ("Put a step ", WAIT, " before it.")
STILL_WET = 0.25  # of the time to sand: until then the paper tears a soft film, and nothing can be computed (assumed)


def check_order(recipe: Recipe, document: Document) -> None:
    """Raise InputError at the first step that cannot follow those before it, with the remedy."""
    wet: str = ""  # material that is not hard enough to sand
    dried = 0.0
    bare = "bare metal" if recipe.panel["sheet"] == "steel" else "bare plastic"
    top = "old paint" if recipe.panel["damage"] is None else bare
    masked = False
    for step in recipe.steps:

        def fail(key: str, problem: str, remedy: Words, step: Step = step) -> None:
            document.fail(("step", step.number - 1, key), problem, remedy, "order")

        if step.do in SANDING and wet:
            needed = recipe.materials[wet]["dry_to_sand"]
            if dried < STILL_WET * needed:
                fail(
                    "do",
                    f"sands the {wet} while it is still wet.",
                    ("Put a step ", WAIT, f" of about {_time(needed - dried)} before it, longer when it is cold."),
                )
        if step.do == "guide coat" and wet and dried < recipe.materials[wet]["dry_to_recoat"]:
            fail("do", f"dusts a guide coat on wet {wet}.", WAIT_FIRST)
        if step.do == "clean" and wet and dried < recipe.materials[wet]["dry_to_recoat"]:
            fail("do", f"wipes wet {wet}.", WAIT_FIRST)
        if step.do == "fill":
            if top not in (bare, "filler", "epoxy primer", "old paint"):
                fail("do", f"puts filler over {top}.", "Fill first; surfacer and colour go over the filler.")
            wet, dried, top = "filler", 0.0, "filler"
        if step.do == "spray":
            material = step["material"]
            if material in COLOUR and top in NEEDS_SURFACER:
                fail(
                    "material",
                    f"puts {material} over {top}.",
                    "Spray surfacer first"
                    + (", and a corrosion-protecting primer before it." if top == "bare metal" else "."),
                )
            if material == "surfacer" and top == "bare metal":
                fail(
                    "material",
                    "puts surfacer straight on bare metal.",
                    'Spray "epoxy primer" first, or fill; the surfacer\'s data sheet may allow more.',
                )
            if material == "clear" and top not in ("base", "clear", "old paint"):
                fail("material", f"puts clear over {top}.", "Spray base first.")
            if material in ("surfacer", "epoxy primer") and top in COLOUR:
                fail("material", f"puts {material} over fresh {top}.", "Sand the colour off, or leave the step out.")
            if wet == "filler" and dried < recipe.materials["filler"]["dry_to_recoat"]:
                fail("do", "sprays over filler that has not set.", WAIT_FIRST)
            wet, dried, top = material, 0.0, material
        elif step.do == "mask":
            if masked:
                fail("do", "masks a masked panel.", ("Put a step ", Entry("do", '"unmask"'), " before it."))
            masked = True
        elif step.do == "unmask":
            if not masked:
                first = ("Put ", Entry("do", '"mask"'), " before the spraying.")
                fail("do", "takes off masking that is not there.", first)
            masked = False
        if step.do != "spray" and step.do != "fill":
            dried += step.settings.get("time") or 0.0


def _time(seconds: float) -> str:
    return f"{seconds / 60:.0f} min" if seconds < 2 * 3600 else f"{seconds / 3600:.1f} h"
