# Bonett (2008), average standardiser, from the summaries of R's sleep, base R.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
x <- sleep$extra[sleep$group == 1]; y <- sleep$extra[sleep$group == 2]; s <- sqrt((var(x) + var(y)) / 2); d <- mean(y - x) / s
e <- sqrt(d^2 * (var(x)^2 + var(y)^2 + 2 * cov(x, y)^2) / (8 * 9 * s^4) + var(y - x) / (9 * s^2))
say("sleep", mean_pre = mean(x), mean_post = mean(y), sd_pre = sd(x), sd_post = sd(y), correlation = cor(x, y), value = d * sqrt(8 / 9), low = d - qnorm(.975) * e, high = d + qnorm(.975) * e, n = 10)
