# Power of the paired t-test with base R's noncentral t, solved for the true gain.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
away <- function(df, power = .8) uniroot(function(d) pt(qt(.975, df), df, d) - (1 - power), c(0, 100), tol = 1e-13)$root
for (n in c(5, 20, 30, 60)) for (r in c(.5, .7, .8))
  say(sprintf("n%g_r%g", n, r), value = away(n - 1) * sqrt(2 * (1 - r) / n), n = n)
