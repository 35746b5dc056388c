# Exact J and noncentral-t limits with base R's lgamma, pt and uniroot.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
ncp <- function(t, df, p) uniroot(function(l) suppressWarnings(pt(t, df, l)) - p, c(t - 10, t + 10), tol = 1e-12)$root
J <- function(m) exp(lgamma(m / 2) - lgamma((m - 1) / 2)) / sqrt(m / 2)
g <- function(case, d, n, k) { f <- sqrt(1 / n + 1 / k); t <- d / f; df <- n + k - 2
  say(case, value = J(df) * d, low = ncp(t, df, .975) * f, high = ncp(t, df, .025) * f, n = n + k) }
g("choirs_28_25", 5 / sqrt((27 * 10^2 + 24 * 12^2) / 51), 28, 25)
g("steiger_10", 2.6 * sqrt(2 / 10), 10, 10)
g("steiger_300", 2.4 * sqrt(2 / 300), 300, 300)
g("borenstein", 3 / sqrt((49 * 5.5^2 + 49 * 4.5^2) / 98), 50, 50)
