"""Other studies: printed results read again, pooled, compared with ours."""
