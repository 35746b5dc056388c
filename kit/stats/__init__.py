"""The statistics: arrays in, one Estimate out; no tables, no file names, no sentences."""
