# Exact J and noncentral-t limits with base R's lgamma, pt and uniroot, read off the normal curve.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
J <- function(m) exp(lgamma(m / 2) - lgamma((m - 1) / 2)) / sqrt(m / 2)
ncp <- function(t, df, p) uniroot(function(l) suppressWarnings(pt(t, df, l)) - p, c(t - 10, t + 10), tol = 1e-12)$root
d <- 5 / sqrt((27 * 10^2 + 24 * 12^2) / 51); f <- sqrt(1 / 28 + 1 / 25); t <- d / f
say("choirs_28_25", value = 100 * (pnorm(J(51) * d) - .5), low = 100 * (pnorm(ncp(t, 51, .975) * f) - .5), high = 100 * (pnorm(ncp(t, 51, .025) * f) - .5), n = 53)
