"""Single notes of a test: files with a mark for each note, and their keys."""
