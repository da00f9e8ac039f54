"""One joint belief about all uncertain numbers, and the bands of results over it."""

from coursekit.belief.bands import band, band_si, belief_of, drawn
from coursekit.belief.joint import Belief, learnt, quantiles, shipped
from coursekit.belief.observation import Observation, Print, facts, read_directly

__all__ = [
    "Belief", "Observation", "Print", "band", "band_si", "belief_of", "drawn", "facts", "learnt", "quantiles",
    "read_directly", "shipped",
]  # fmt: skip
