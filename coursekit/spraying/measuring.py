"""What cards and cups say of a gun: the functions behind the measurements in tables/measurements/."""

from typing import Any

from coursekit.quantities import InputError
from coursekit.spraying.pattern import REFERENCE_DISTANCE, fan_shape


def pattern(width: Any, gun_distance: Any, middle_film: Any = None, quarter_film: Any = None) -> dict[str, Any]:
    """Width of the open fan at the reference distance, and the shape of its profile. Source: beta-profile."""
    found = {"open_fan": width * REFERENCE_DISTANCE / gun_distance}
    if (middle_film is None) != (quarter_film is None):
        raise InputError("middle_film", "goes with quarter_film.", "Give both or none.")
    if middle_film is not None:
        found["fan_shape"] = fan_shape.si(middle_film, quarter_film)
    return found
