"""In front of a class: own numbers for each learner, paper, progress, scripts, pages without Python."""
