"""Linear mixed models, fitted by profiled likelihood from sums over groups."""
