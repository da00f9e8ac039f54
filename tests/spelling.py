"""Names for odd inputs in test ids."""

import re


def spelled(value):
    """`repr`, without the address of an object: two workers must give a test the same name."""
    return re.sub(r" at 0x[0-9a-f]+", "", repr(value))
