"""Who a row is about: ids, names in all their spellings, a study id drawn at random."""
