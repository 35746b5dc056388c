"""From school files to normalised tables. Reading is not judging: nothing here computes a statistic."""
