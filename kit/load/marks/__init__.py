"""One cell of a mark, however it is written, to points."""
