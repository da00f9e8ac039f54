"""Texts written in both systems, "120 µm (4.7 mil)" or "[3 m/s × 2 s|10 ft/s × 2 s]": one of them is shown."""

from __future__ import annotations

import re

from coursekit.nomenclature import System

_NUMBER = r"−?\d+(?:[.,/]\d+)?"
_ENDS = rf"{_NUMBER}(?:(?: to | and | or | x |, ){_NUMBER})*"
_METRIC = "µm|mm|cm|m|mm²|cm²|m²|m³|mL|L|m²/L|mL/min|L/min|m/s|m/min|°C|K|bar|kPa|N|kg"
_US = "mil|in|ft|sq in|sq ft|cu ft|fl oz|qt|gal|fl oz/min|scfm|ft/s|ft/min|°F|psi|lbf|lb|oz"
_PAIR = re.compile(rf"({_ENDS} (?:{_METRIC})) \((?:about )?({_ENDS} (?:{_US}))\)")
_CHOICE = re.compile(r"\[([^\[\]|]*)\|([^\[\]|]*)\]")


def in_one(text: str, system: System) -> str:
    """The text with the numbers of that system alone."""
    kept = r"\2" if system == "us" else r"\1"
    return _PAIR.sub(kept, _CHOICE.sub(kept, text))
