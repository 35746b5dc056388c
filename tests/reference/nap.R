# Base R: the score equation solved by uniroot, the rank sum of every split listed by combn.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
phases <- function(case, a, b) { q <- mean(outer(b, a, ">") + outer(b, a, "==") / 2); m <- length(a); n <- length(b); h <- (m + n) / 2 - 1; z <- qnorm(.975)
  f <- function(x) m * n * (q - x)^2 - z^2 * x * (1 - x) * (1 + h * ((1 - x) / (2 - x) + x / (1 + x)))
  r <- rank(c(b, a)); w <- combn(m + n, n, function(i) sum(r[i])); e <- n * (m + n + 1) / 2
  say(case, value = q, low = if (q > 0) (if (q < 1) uniroot(f, c(0, q), tol = 1e-13) else uniroot(function(x) f(x) / (1 - x), c(0, 1 - 1e-9), tol = 1e-13))$root else 0, high = if (q < 1) uniroot(f, c(q, 1), tol = 1e-13)$root else 1, n = m + n, p = mean(abs(w - e) >= abs(sum(r[1:n]) - e) - 1e-9)) }
phases("nine_indices", c(20, 20, 26, 25, 22, 23), c(28, 25, 24, 27, 30, 30, 29))
phases("nap_paper", c(4, 3, 4, 3, 4, 7, 5, 2, 3, 2), c(5, 9, 7, 9, 7, 5, 9, 11, 11, 10, 9))
phases("all_better", 1:5, 6:10)
