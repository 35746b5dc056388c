"""Students who come in choirs: how alike they are, and inference from few choirs."""
