"""What a shopping list speaks of, as data: a part of a paint's mix, a paper, or something else; and its name."""

from __future__ import annotations

from typing import Literal, NamedTuple

from coursekit.sanding import Grade, read_grade

PAPER = "paper "  # before the grade, in the name of a paper
SOLD_BY = {  # rows of the nomenclature by which a pack may be told; by the first it is counted on the list
    "paint": ("bought_volume", "bought_mass"),
    "length": ("bought_length",),
    "paper": ("bought_pieces",),
    "pieces": ("bought_pieces",),
}


class Ware(NamedTuple):
    """One thing to buy.

    kind      whether it is poured, cut from a roll, a paper, or counted
    part      what it is by itself: "surfacer", "activator", "masking tape"
    material  the material in whose mix it goes; none where it goes in no film
    grade     of a paper
    """

    kind: Literal["paint", "length", "paper", "pieces"]
    part: str
    material: str = ""
    grade: Grade | None = None

    @property
    def added(self) -> bool:
        """Whether it goes into the mix of another material."""
        return self.material not in ("", self.part)

    @property
    def counted_by(self) -> str:
        """The row of the nomenclature by which it is counted."""
        return SOLD_BY[self.kind][0]

    @property
    def name(self) -> str:
        """As list and prices write it: "clear", "activator for clear", "paper P320", "cloths"."""
        if self.grade is not None:
            return f"{PAPER}{self.grade}"
        return f"{self.part} for {self.material}" if self.added else self.part


def paint(material: str, part: str = "") -> Ware:
    """A part of the mix of a material; the material itself when no other is named."""
    return Ware("paint", part or material, material)


def paper(grade: Grade | str) -> Ware:
    """A paper by its grade. Raises InputError for what is none."""
    return Ware("paper", "paper", grade=read_grade(grade) if isinstance(grade, str) else grade)


def pieces(part: str) -> Ware:
    """What is counted."""
    return Ware("pieces", part)


TAPE = Ware("length", "masking tape")
