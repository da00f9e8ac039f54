"""The air of the garage, what it asks for, and what a repair costs."""

from coursekit.garage.protection import Protection, protection_needed
from coursekit.garage.purge import purge_time

__all__ = ["Protection", "protection_needed", "purge_time"]
