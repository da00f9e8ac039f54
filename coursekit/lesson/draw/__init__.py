"""Drawings and maps."""
