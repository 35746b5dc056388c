"""Two forms of one test put on one scale."""
