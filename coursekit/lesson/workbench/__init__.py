"""The bench: controls, one computation, one picture, one sentence."""
