"""What sanding leaves to be seen: scratches, the guide coat in lows and scratches, texture taken off, dust."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit.panel.state import TEXTURE_BANDS, Panel, frozen
from coursekit.panel.tools import Paper

GUIDE_THICKNESS = 1e-6  # m of removal that clears a mist of guide coat from a smooth high spot (assumed)
RUBBED_IN = 0.5  # share of wax and silicone that sanding drives into the scratches (assumed)


PAPER_BENDING = 1e-3  # N·m, bending stiffness per width of 0.15 mm of paper with its resin (assumed)


def marked(
    panel: Panel, paper: Paper, removed: np.ndarray, scratch: np.ndarray, pressure: np.ndarray, backing: float
) -> dict[str, Any]:
    """Fields of the panel after `removed` (m) has gone.

    scratch   m     depth the paper cuts into what now shows
    pressure  Pa    mean, over the sliding
    backing   Pa/m  under the paper; waves of a few millimetres the paper itself bridges by its bending
    """
    touched = removed > 0
    papers = panel.papers if paper.grade in panel.papers else (*panel.papers, paper.grade)
    old, new = np.maximum(panel.scratch - removed, 0), np.minimum(scratch, removed)
    relief = GUIDE_THICKNESS + panel.scratch + sum(panel.texture)
    rubbed = RUBBED_IN * panel.contamination * touched
    # What was rubbed in earlier lies evenly down to the ground of the scratches and goes with them (assumed).
    lodged = panel.embedded * np.clip(1 - removed / np.maximum(panel.scratch, 1e-12), 0, 1)
    return {
        "papers": papers,
        "scratch": np.maximum(old, new),
        "scratch_grade": np.where(touched & (new >= old), np.int16(papers.index(paper.grade)), panel.scratch_grade),
        "guide_coat": panel.guide_coat * np.exp(-removed / relief),
        "texture": tuple(
            _planed(amplitude, removed, pressure / (backing + PAPER_BENDING * (2 * np.pi / np.sqrt(low * high)) ** 4))
            for amplitude, (low, high) in zip(panel.texture, TEXTURE_BANDS, strict=True)
        ),
        "contamination": panel.contamination - rubbed,
        "embedded": lodged + (1 - lodged) * rubbed,
        "dust": np.where(touched, 1.0, panel.dust),
    }


def _planed(amplitude: np.ndarray, removed: np.ndarray, give: np.ndarray) -> np.ndarray:
    """Amplitude of short texture after planing: da/dz = −1 above what paper and backing give, −a/give below it."""
    if not amplitude.any():
        return amplitude
    give = np.maximum(give, 1e-12)
    planed = np.maximum(amplitude - removed, np.minimum(amplitude, give))
    rest = np.maximum(removed - (amplitude - planed), 0)
    return frozen(planed * np.exp(-rest / give))
