"""Wet film, dry film and how far a tin goes."""

from coursekit.quantities import Real, public


@public(gives="dry_film")
def dry_film(wet_film: Real, volume_solids: Real) -> Real:
    """Dry film that a wet film leaves.

    wet_film       (...) m, 0 to 5 mm         film as sprayed
    volume_solids  (...) share, 0.01 to 1     of the paint as sprayed
    Gives (...) m. Raises InputError for a wrong unit, RangeError out of those ranges.
    Holds when the film shrinks in thickness only. Source: coverage-constant.
    """
    return wet_film * volume_solids
