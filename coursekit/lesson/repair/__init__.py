"""A whole repair to drag, by many hands, and what went wrong in it."""
