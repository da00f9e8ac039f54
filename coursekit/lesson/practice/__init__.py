"""What is asked and worked out: exercises, predictions, worked examples."""
