# McNemar's mid-p from base R's dbinom and pbinom.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
midp <- function(case, a, b, c, d) { n <- b + c; k <- min(b, c)
  p <- if (b == c) 1 - dbinom(b, n, .5) / 2 else 2 * pbinom(k, n, .5) - dbinom(k, n, .5)
  say(case, value = (c - b) / (a + b + c + d), n = a + b + c + d, p = p) }
midp("airway", 1, 1, 7, 12); midp("response", 59, 6, 16, 80); midp("equal", 5, 4, 4, 7)
