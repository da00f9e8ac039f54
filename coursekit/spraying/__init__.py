"""The gun: fluid, air, drops, pattern, transfer and where the paint goes."""

from coursekit.spraying import overspray

__all__ = ["overspray"]
