"""One file a bench: `lesson.bench("film")` shows `bench` of film.py."""
