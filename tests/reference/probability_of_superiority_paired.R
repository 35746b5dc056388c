# Tango's limits by profiling the likelihood of the three shares (up, down, same) numerically; p as McNemar's test.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
g <- function(case, d) { n <- length(d); b <- sum(d > 0); k <- sum(d < 0)
  ll <- function(q, t) { p <- c(q + t, q, 1 - 2 * q - t); sum(ifelse(c(b, k, n - b - k) == 0, 0, c(b, k, n - b - k) * log(pmax(p, 1e-300)))) }
  z <- function(t) { q <- optimize(ll, c(max(0, -t), (1 - t) / 2), t = t, maximum = TRUE, tol = 1e-14)$maximum; (b - k - n * t) / sqrt(n * (2 * q + t - t^2)) }
  low <- uniroot(function(t) z(t) - qnorm(.975), c(-1 + 1e-9, (b - k) / n), tol = 1e-12)$root
  high <- uniroot(function(t) z(t) + qnorm(.975), c((b - k) / n, 1 - 1e-9), tol = 1e-12)$root
  say(case, value = (1 + (b - k) / n) / 2, low = (1 + low) / 2, high = (1 + high) / 2, n = n, p = mcnemar.test(matrix(c(0, b, k, 0), 2), correct = FALSE)$p.value) }
g("six_of_eight", c(3, 2, 6, 0, -1, 4, 5, 2)); g("whole_points", c(3, 2, 6, 0, -1, 4, 5, 2, 2, 1, -2, 7))
