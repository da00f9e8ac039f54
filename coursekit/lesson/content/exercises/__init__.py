"""One file a topic: `lesson.exercise("film-1")` draws the exercise declared as "film-1" in film.py."""
