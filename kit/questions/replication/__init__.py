"""A study that is repeated: what was printed, ours beside it, and the verdict by the declared rule."""
