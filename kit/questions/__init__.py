"""Tables in, estimates out: the only place where rows meet formulas; one module a heading of a report."""
