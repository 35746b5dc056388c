# The planning formula for choirs assigned as wholes (Dong & Maynard 2013), with base R's noncentral t in place of the
# sum of two quantiles.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
away <- function(df, power = .8) uniroot(function(d) pt(qt(.975, df), df, d) - (1 - power), c(0, 100), tol = 1e-13)$root
seen <- function(j, n, icc, r2 = 0, r1 = 0, g = 0) away(sum(j) - 2 - g) * sqrt(sum(1 / j) * (icc * (1 - r2) + (1 - icc) * (1 - r1) / n))
for (j in list(c(2, 2), c(4, 4), c(10, 10), c(3, 9)))
  say(sprintf("j%g_%g", j[1], j[2]), value = seen(j, 25, .2), n = sum(j), df = sum(j) - 2)
for (j in list(c(4, 4), c(10, 10)))
  say(sprintf("j%g_%g_pretest", j[1], j[2]), value = seen(j, 25, .2, .7, .5, 1), n = sum(j), df = sum(j) - 3)
