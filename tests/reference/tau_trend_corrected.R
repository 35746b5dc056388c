# Base R: the pairs counted by outer; the spread of the count over all orders of untied observations listed in full.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
count <- function(a, b) { d <- sign(outer(a, a, function(i, j) j - i)); sum(sign(outer(a, b, function(i, j) j - i))) - sum(d[upper.tri(d)]) }
orders <- function(v) if (length(v) < 2) matrix(v, 1) else do.call(rbind, lapply(seq_along(v), function(i) cbind(v[i], orders(v[-i]))))
corrected <- function(case, a, b) { m <- length(a); n <- length(b); every <- orders(1:(m + n)); s <- apply(every, 1, function(o) count(o[1:m], o[-(1:m)]))
  error <- sqrt(mean(s^2)) / (m * n); v <- count(a, b) / (m * n); end <- 1 + (m - 1) / (2 * n)
  say(case, value = v, low = max(v - qnorm(.975) * error, -end), high = min(v + qnorm(.975) * error, end), n = m + n, p = 2 * pnorm(-abs(v / error))) }
corrected("tau_u_paper", c(3, 3, 4, 5), c(4, 5, 6, 7, 7))
corrected("one_line", 1:4, 5:8)
