"""Which hardener a material has, and who says so: isocyanate, unless another chemistry is named."""

from __future__ import annotations

from typing import NamedTuple

from coursekit.nomenclature import load_data
from coursekit.repair.recipe import Recipe
from coursekit.repair.steps import Spray
from coursekit.repair.vocabulary import NOT_NAMED, materials

_READ = "Read section 3 of the hardener's safety data sheet"


class Hardener(NamedTuple):
    """Whether what is mixed into a material is treated as isocyanate, and why in words."""

    isocyanate: bool
    words: str
    denied: bool = False  # the recipe says that there is none, and is not believed
    own: bool = False  # it rests on what the recipe says: a chemistry, or a ratio of its own

    @property
    def remedy(self) -> str:
        return (
            "Spray it with supplied air only."
            if self.isocyanate
            else "A wrong name here hides a danger that nothing else in this plan would show."
        )


def sprayed(recipe: Recipe) -> dict[str, tuple[int, ...]]:
    """The sprayed materials, each with the numbers of its steps."""
    found: dict[str, tuple[int, ...]] = {}
    for step in recipe.steps:
        if isinstance(step, Spray):
            found[step.material] = (*found.get(step.material, ()), step.number)
    return found


def hardener_of(recipe: Recipe, material: str) -> Hardener:
    """The hardener of a material. A bare "no" to isocyanate is not believed: only a named chemistry is."""
    given = recipe.written.get("material", {}).get(material, {})
    row, known = recipe.materials[material], load_data("hardeners")
    said = row["isocyanate"] if "isocyanate" in given else ""
    chemistry, named = row["hardener"], row["hardener"] != NOT_NAMED
    if not named and "ratio" not in given:
        chemistry = materials()[material]["usual_hardener"]
    if chemistry in known and not known[chemistry]["isocyanate"] and said != "yes":
        whose = (
            "you named it in this recipe"
            if named
            else "that is this course's usual material, not what your product's data sheet says"
        )
        return Hardener(
            False,
            f"{material}: treated as free of isocyanate ({known[chemistry]['words']}); {whose}. "
            f"{_READ}: if it lists an isocyanate, use supplied air",
            own=named,
        )
    taken = f"{material}: treated as containing isocyanate"
    name_it = f'{_READ}. If it lists another chemistry, name it: hardener = "{other_chemistries()[0]}", for example'
    if said == "no":
        return Hardener(
            True, f'{taken}. isocyanate = "no" in this recipe does not change that. {name_it}', denied=True, own=True
        )
    if chemistry not in known:
        return Hardener(
            True, f"{taken}, because the recipe sets its own ratio and names no hardener. {name_it}", own=True
        )
    return Hardener(True, f"{taken}. Spray it with supplied air only")


def other_chemistries() -> tuple[str, ...]:
    """The named chemistries that hold no isocyanate."""
    return tuple(name for name, row in load_data("hardeners").items() if not row["isocyanate"])
