# Power of the two-sample t-test with base R's noncentral t, solved for the true difference; a first test shrinks the
# standard deviation by sqrt(1 - r^2) and takes one degree of freedom.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
away <- function(df, power = .8) uniroot(function(d) pt(qt(.975, df), df, d) - (1 - power), c(0, 100), tol = 1e-13)$root
for (n in list(c(3, 4), c(25, 25), c(40, 10))) {
  say(sprintf("n%g_%g", n[1], n[2]), value = away(sum(n) - 2) * sqrt(sum(1 / n)), n = sum(n), df = sum(n) - 2)
  say(sprintf("n%g_%g_r.7", n[1], n[2]), value = away(sum(n) - 3) * sqrt((1 - .49) * sum(1 / n)), n = sum(n), df = sum(n) - 3)
}
