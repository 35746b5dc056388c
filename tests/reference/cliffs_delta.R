# All pairs compared one by one; unbiased variance; asymmetric limits with t.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
g <- function(case, x, y) { D <- sign(outer(x, y, "-")); d <- mean(D); m <- length(x); n <- length(y)
  v <- (n^2 * sum((rowMeans(D) - d)^2) + m^2 * sum((colMeans(D) - d)^2) - sum((D - d)^2)) / (m * n * (m - 1) * (n - 1)); q <- qt(.975, m + n - 2)
  e <- (d - d^3 + c(-1, 1) * q * sqrt(v) * sqrt((1 - d^2)^2 + q^2 * v)) / (1 - d^2 + q^2 * v); say(case, value = d, low = e[1], high = e[2], n = m + n) }
ctl <- PlantGrowth$weight[PlantGrowth$group == "ctrl"]; one <- PlantGrowth$weight[PlantGrowth$group == "trt1"]; two <- PlantGrowth$weight[PlantGrowth$group == "trt2"]
g("plants_two", two, ctl); g("plants_one", one, ctl)
