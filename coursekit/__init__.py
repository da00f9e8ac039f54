"""coursekit: learn and plan the repair of a car's body panel on a panel that is computed.

    from coursekit import film, mixing, sanding, spraying

Calls take text with units ("120 µm", "4.7 mil") or pint quantities and give pint quantities.
"""

import os

# The course multiplies small matrices, and two cores that wait for each other make that slower than one. It must
# stand before numpy is loaded; who has set it, or loaded numpy first, keeps their own choice.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from coursekit.quantities import InputError, RangeError

__all__ = ["InputError", "RangeError"]
__version__ = "0.1.0"
