# Kappa with its large-sample standard error: package vcd 1.4-11, Kappa.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
counts <- matrix(c(106, 10, 4, 22, 28, 10, 2, 12, 6), 3, byrow = TRUE)
k <- function(case, x, w) say(case, value = x[[w]][["value"]], low = x[[w]][["value"]] - qnorm(.975) * x[[w]][["ASE"]], high = x[[w]][["value"]] + qnorm(.975) * x[[w]][["ASE"]], n = sum(counts))
linear <- vcd::Kappa(counts, weights = "Equal-Spacing"); squared <- vcd::Kappa(counts, weights = "Fleiss-Cohen")
k("unweighted", linear, "Unweighted"); k("linear", linear, "Weighted"); k("squared", squared, "Weighted")
