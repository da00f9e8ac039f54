"""The lessons themselves: this is where you add."""
