"""Colour difference, hiding, blend and swatches."""

from coursekit.colour.difference import difference

__all__ = ["difference"]
