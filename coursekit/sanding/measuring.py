"""What a gauge before and after sanding says, and a weight on a soft pad: the functions behind two measurements."""

from typing import Any

from coursekit.constants import GRAVITY
from coursekit.measurements import difference
from coursekit.quantities import Real
from coursekit.sanding.blocks import read_block
from coursekit.sanding.wear import ease_of, wear_coefficient_measured
from coursekit.sources import coefficient


def removal(
    film_before: Real, film_after: Real, strokes: Real, grade: object, block: object, hardness: Real, force: Real
) -> dict[str, Any]:
    """Wear coefficient, at the usual hardness and ease of what was sanded and the usual size effect.

    Source: preston-1927.
    """
    size = read_block(block)
    removed = difference(film_before, film_after, "film_after", "less than film_before")
    distance = strokes * size.sliding
    found = wear_coefficient_measured.si(
        removed, force / size.area, distance, grade, hardness, coefficient("size_exponent"), ease_of(hardness)
    )
    return {"wear_coefficient": found}


def pad(weight: Real, pad_give: Real, block: object) -> dict[str, Any]:
    """Stiffness of a soft pad per area of its face, from how far a weight presses it. Source: derived-here."""
    return {"pad_stiffness": weight * GRAVITY / (read_block(block).area * pad_give)}
