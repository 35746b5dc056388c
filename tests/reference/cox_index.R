# Log odds ratio, its standard error and p from base R's glm, over 1.65.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
g <- function(case, x, n, y, k) { f <- summary(glm(cbind(c(x, y), c(n - x, k - y)) ~ c(1, 0), family = binomial, control = list(epsilon = 1e-14)))$coefficients[2, ]
  say(case, value = f[1] / 1.65, low = (f[1] - qnorm(.975) * f[2]) / 1.65, high = (f[1] + qnorm(.975) * f[2]) / 1.65, n = n + k, p = f[4]) }
g("80_65", 80, 100, 65, 100); g("7_1", 7, 34, 1, 34)
