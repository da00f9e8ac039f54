"""The bench whose settings are pinned under names and compared."""
