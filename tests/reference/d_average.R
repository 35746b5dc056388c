# Bonett's interval with the average variance, written out in base R.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
pre <- sleep$extra[sleep$group == 1]; post <- sleep$extra[sleep$group == 2]; n <- 10; df <- n - 1
s <- sqrt((var(pre) + var(post)) / 2); d <- mean(post - pre) / s
se <- sqrt(d^2 * (var(pre)^2 + var(post)^2 + 2 * cov(pre, post)^2) / (8 * df * s^4) + var(post - pre) / (df * s^2))
say("sleep", value = sqrt((n - 2) / df) * d, low = d - qnorm(.975) * se, high = d + qnorm(.975) * se, n = n)
