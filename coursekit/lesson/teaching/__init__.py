"""In front of a class: own numbers for each learner, paper, the progress of a class, scripts, pages without Python."""
