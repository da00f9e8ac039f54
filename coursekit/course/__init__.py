"""The notebooks of the course and the files that come with it."""
