# KR-20 as printed, with variances over n; Feldt's limits by base R's qf. Data: the answers in kr20.json.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
x <- psych::lsat6; n <- nrow(x); k <- ncol(x); p <- colMeans(x); t <- rowSums(x)
a <- k / (k - 1) * (1 - sum(p * (1 - p)) / mean((t - mean(t))^2)); f <- 1 - (1 - a) * qf(c(.975, .025), n - 1, (n - 1) * (k - 1))
say("lsat6", value = a, low = f[1], high = f[2], n = n)
