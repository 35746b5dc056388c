# All pairs compared one by one; Brunner-Munzel's variance from each student's own share of wins.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
g <- function(case, x, y) { w <- outer(x, y, ">") + outer(x, y, "==") / 2; n <- length(x); k <- length(y); a <- mean(w)
  v <- var(rowMeans(w)) / n; u <- var(colMeans(w)) / k; se <- sqrt(v + u); df <- (v + u)^2 / (v^2 / (n - 1) + u^2 / (k - 1))
  say(case, value = a, low = max(0, a - qt(.975, df) * se), high = min(1, a + qt(.975, df) * se), n = n + k, df = df, p = 2 * pt(-abs((a - .5) / se), df)) }
ctl <- PlantGrowth$weight[PlantGrowth$group == "ctrl"]; one <- PlantGrowth$weight[PlantGrowth$group == "trt1"]; two <- PlantGrowth$weight[PlantGrowth$group == "trt2"]
g("plants_two", two, ctl); g("statpsych_mann", c(9.4, 10.3, 58.3, 106, 31, 46.2, 12, 19, 135, 159), c(14.6, 5.1, 8.1, 22.7, 6.4, 4.4, 19, 3.2))
