# The smallest even number of choirs that is enough, by trying one after the other.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
away <- function(df, power = .8) uniroot(function(d) pt(qt(.975, df), df, d) - (1 - power), c(0, 100), tol = 1e-13)$root
for (d in c(.25, .4, .8)) for (g in 0:1) {
  j <- if (g) 8 else 4
  noise <- .2 * (if (g) .3 else 1) + .8 * (if (g) .5 else 1) / 25
  while (away(j - 2 - g) * sqrt(4 / j * noise) > d) j <- j + 2
  say(sprintf("d%g_g%g", d, g), value = j, n = 25, df = j - 2 - g)
}
