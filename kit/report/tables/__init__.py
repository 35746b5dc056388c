"""What the tables of the reports hold, and how they stand on a page."""
