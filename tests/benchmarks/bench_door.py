"""What reading units at the door costs, against the plain function behind it and against a pint quantity."""

import pint

from coursekit import film
from tests.benchmarks.timing import Figure, least


def figures():
    quantity = pint.get_application_registry().Quantity
    wet, solids = quantity(120, "micrometer"), quantity(45, "percent")
    text = least(lambda: film.dry_film("120 µm", "45 %"), 2000)
    quantities = least(lambda: film.dry_film(wet, solids), 2000)
    plain = least(lambda: film.dry_film.si(120e-6, 0.45), 2000)
    own = least(lambda: (wet * solids).to("micrometer"), 2000)
    yield Figure("film.dry_film from text", text * 1e6, "µs")
    yield Figure("film.dry_film from pint quantities", quantities * 1e6, "µs")
    yield Figure("the same arithmetic in pint alone", own * 1e6, "µs")
    yield Figure("text over the plain function at .si", text / plain, "×")
