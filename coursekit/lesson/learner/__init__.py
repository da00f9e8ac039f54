"""What is the learner's own: what they measured, their record, metric or US."""
