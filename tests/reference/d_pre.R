# Bonett's interval with the first measurement as standardiser, and the exact J, written out in base R.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
pre <- sleep$extra[sleep$group == 1]; post <- sleep$extra[sleep$group == 2]; n <- 10; df <- n - 1
d <- mean(post - pre) / sd(pre); se <- sqrt(d^2 / (2 * df) + var(post - pre) / (df * var(pre)))
say("sleep", value = d * exp(lgamma(df / 2) - lgamma((df - 1) / 2)) / sqrt(df / 2), low = d - qnorm(.975) * se, high = d + qnorm(.975) * se, n = n)
