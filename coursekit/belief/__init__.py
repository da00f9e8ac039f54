"""One joint belief about all uncertain numbers, and the bands of results over it."""

from coursekit.belief.bands import band, band_si, belief_of, drawn
from coursekit.belief.joint import Belief, quantiles, shipped
from coursekit.belief.learning import learnt
from coursekit.belief.observation import Observation, Print, facts, read_directly, told
from coursekit.belief.telling import Cause, Did, Narrowing, Wide, evidence, widest

__all__ = [
    "Belief",
    "Cause",
    "Did",
    "Narrowing",
    "Observation",
    "Print",
    "Wide",
    "band",
    "band_si",
    "belief_of",
    "drawn",
    "evidence",
    "facts",
    "learnt",
    "quantiles",
    "read_directly",
    "shipped",
    "told",
    "widest",
]
