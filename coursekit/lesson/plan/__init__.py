"""The plan of a whole repair of the learner's own."""
