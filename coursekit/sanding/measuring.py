"""What a gauge before and after sanding says: the function behind the measurement "removal"."""

from typing import Any

from coursekit.measurements import difference
from coursekit.sanding.blocks import read_block
from coursekit.sanding.wear import wear_coefficient_measured


def removal(film_before: Any, film_after: Any, strokes: Any, grade: Any, block: Any, hardness: Any,
            force: Any) -> dict[str, Any]:  # fmt: skip
    """Wear coefficient, at the usual hardness of what was sanded and the usual size effect. Source: preston-1927."""
    size = read_block(block)
    removed = difference(film_before, film_after, "film_after", "less than film_before")
    distance = strokes * size.sliding
    return {"wear_coefficient": wear_coefficient_measured.si(removed, force / size.area, distance, grade, hardness)}
