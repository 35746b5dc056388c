# The planning formula with base R's qt.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
for (n in c(20, 30, 60)) for (r in c(.5, .7, .8))
  say(sprintf("n%g_r%g", n, r), value = (qt(.975, n - 1) + qt(.8, n - 1)) * sqrt(2 * (1 - r) / n), n = n)
