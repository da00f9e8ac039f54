"""Which cautions a repair requires, and the words printed beside whatever is computed of it."""

from __future__ import annotations

from collections.abc import Iterator

from coursekit.garage import cautions
from coursekit.nomenclature import load_data
from coursekit.repair.hardeners import hardener_of, sprayed
from coursekit.repair.playing import Replay

NOT_CLEARANCE = (
    "A plan from a computed panel, to check against. It is not clearance to spray, breathe or burn: data sheets, "
    "local rules and licensed practice come first."
)
ASKED = ("room", "solvent", "rags", "skin and eyes", "dust", "hardener")  # in this order, when a step does


def caution_topics(replay: Replay) -> Iterator[str]:
    """Topics of the cautions that this repair requires."""
    asked = {topic for entry in replay for topic in entry.step.cautions}
    coats = sprayed(replay.recipe)
    if coats:
        yield "spraying"
        if any(hardener_of(replay.recipe, name).isocyanate for name in coats):
            yield from ("isocyanate", "people", "re-entry")
        yield "compressed air"
    yield from (topic for topic in ASKED if topic in asked)
    yield from ("storage", "licensed work")


def first_cautions(replay: Replay, *topics: str) -> Iterator[str]:
    """The first caution of each topic that this repair requires; of those topics alone, where some are named."""
    yield from (cautions(topic)[0].text for topic in caution_topics(replay) if topic in (topics or (topic,)))


def care_lines(*replays: Replay) -> Iterator[str]:
    """What is printed under a repair in plain text: its cautions, and that nothing is cleared."""
    asked = dict.fromkeys(line for replay in replays for line in first_cautions(replay))
    yield from (f"Caution: {line}" for line in asked)
    yield NOT_CLEARANCE


def wall_cautions(replay: Replay) -> Iterator[str]:
    """What must be read from two metres, a few words a topic."""
    asked = set(caution_topics(replay))
    yield from (row["text"] for topic, row in load_data("wall_cautions").items() if topic in asked)
