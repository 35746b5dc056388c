"""Tables and a script with which a committee computes the main numbers again in R."""
