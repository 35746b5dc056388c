# Difference over the average SD of both groups, exact J with lgamma, Bonett's limits for spreads that differ.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
ctl <- PlantGrowth$weight[PlantGrowth$group == "ctrl"]; one <- PlantGrowth$weight[PlantGrowth$group == "trt1"]; two <- PlantGrowth$weight[PlantGrowth$group == "trt2"]
J <- function(m) exp(lgamma(m / 2) - lgamma((m - 1) / 2)) / sqrt(m / 2)
g <- function(case, x, y) { a <- var(x); b <- var(y); n <- length(x) - 1; k <- length(y) - 1; s <- sqrt((a + b) / 2); d <- (mean(x) - mean(y)) / s
  se <- sqrt(d^2 * (a^2 / n + b^2 / k) / (8 * s^4) + (a / n + b / k) / s^2)
  say(case, value = J(n + k) * d, low = d - qnorm(.975) * se, high = d + qnorm(.975) * se, n = n + k + 2) }
g("plants_two", two, ctl); g("plants_one", one, ctl[1:7])
