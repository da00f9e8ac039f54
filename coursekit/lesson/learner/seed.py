"""The learner's seed, from which the numbers of the exercises are drawn."""

from __future__ import annotations

import contextlib
import secrets
from typing import Any

from coursekit.folder import change_setting, keep_setting, setting
from coursekit.quantities import InputError


def seed() -> str:
    """The learner's seed, from which the numbers of the exercises are drawn; made once, and kept."""
    kept = setting("seed")
    if not isinstance(kept, str) or not kept:
        with contextlib.suppress(InputError):  # what cannot be kept holds as long as this notebook runs
            change_setting("seed", lambda there: there if isinstance(there, str) and there else secrets.token_hex(3))
        kept = setting("seed", "")
    return str(kept)


def set_seed(text: Any) -> str:
    """Give this learner a seed: the same seed, the same numbers."""
    if not isinstance(text, (str, int)) or isinstance(text, bool) or not 1 <= len(str(text).strip()) <= 40:
        raise InputError(
            "seed", "must be a word or a number of at most 40 characters.", 'Write lesson.seed("b-07").', kind="form"
        )
    keep_setting("seed", str(text).strip())
    return seed()
