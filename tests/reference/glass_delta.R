# Difference over the comparison SD, exact J with lgamma, Bonett's limits with the comparison group as standardiser.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
ctl <- PlantGrowth$weight[PlantGrowth$group == "ctrl"]; one <- PlantGrowth$weight[PlantGrowth$group == "trt1"]; two <- PlantGrowth$weight[PlantGrowth$group == "trt2"]
J <- function(m) exp(lgamma(m / 2) - lgamma((m - 1) / 2)) / sqrt(m / 2)
g <- function(case, x, y) { d <- (mean(x) - mean(y)) / sd(y); m <- length(y) - 1
  se <- sqrt(d^2 / (2 * m) + 1 / m + var(x) / ((length(x) - 1) * var(y)))
  say(case, value = J(m) * d, low = d - qnorm(.975) * se, high = d + qnorm(.975) * se, n = length(x) + length(y)) }
g("plants_two", two, ctl); g("plants_one", one, ctl)
