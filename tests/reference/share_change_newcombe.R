# Newcombe's paired interval (1998, method 10, from memory) put together from prop.test(correct = FALSE) of base R, which is Wilson's
# interval; phi of cor() on the marks, its numerator drawn towards zero by n/2. Empty cells, empty margins and other levels.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
wilson <- function(x, n, level) as.numeric(suppressWarnings(prop.test(x, n, conf.level = level, correct = FALSE))$conf.int)
paired <- function(case, both, lost, gained, neither, level) {
  n <- both + lost + gained + neither; after <- both + gained; before <- both + lost
  u <- wilson(after, n, level); v <- wilson(before, n, level); p <- after / n; q <- before / n
  one <- rep(c(1, 0, 1, 0), c(both, lost, gained, neither)); two <- rep(c(1, 1, 0, 0), c(both, lost, gained, neither))
  phi <- 0
  if (sd(one) > 0 && sd(two) > 0) {
    r <- cor(one, two); top <- both * neither - lost * gained
    phi <- if (top > 0) r * max(top - n / 2, 0) / top else r
  }
  d <- c(p - u[1], v[2] - q); e <- c(u[2] - p, q - v[1])
  far <- function(a) sqrt(a[1]^2 - 2 * phi * a[1] * a[2] + a[2]^2)
  say(case, value = p - q, low = p - q - far(d), high = p - q + far(e), n = n)
}
paired("nobody_lost", 5, 0, 4, 11, .95); paired("all_both", 12, 0, 0, 0, .95); paired("all_gained", 0, 0, 9, 0, .95)
paired("against_each_other", 1, 7, 9, 2, .90); paired("little_shared", 6, 5, 6, 7, .99)
