# Power of the t-test of choir means with base R's noncentral t; with a first test averaged over how far apart the two
# groups of choirs start by chance (the ratio follows an F distribution). Wilson's interval for 200,000 draws.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
test <- function(ncp, df) 1 - pt(qt(.975, df), df, ncp) + pt(-qt(.975, df), df, ncp)
power <- function(j, n, icc, d, r = NULL) {
  v <- icc + (1 - icc) / n; weight <- sum(1 / j); df <- sum(j) - 2
  if (is.null(r)) return(test(d / sqrt(v * weight), df))
  v <- v * (1 - ((icc * r[1] + (1 - icc) * r[2] / n) / v)^2)
  integrate(function(u) { f <- qf(u, 1, df); sapply(f, function(f) test(d / sqrt(v * weight * (1 + f / df)), df - 1)) }, 0, 1, rel.tol = 1e-8)$value
}
draws <- 200000
for (case in list(list("j10_10", c(10, 10), NULL), list("j10_10_pretest", c(10, 10), c(.8, .6)),
                  list("j3_9_pretest", c(3, 9), c(.8, .6)), list("j2_2", c(2, 2), NULL))) {
  p <- power(case[[2]], 25, .15, .5, case[[3]])
  ends <- suppressWarnings(prop.test(p * draws, draws, correct = FALSE)$conf.int)
  say(case[[1]], value = p, low = ends[1], high = ends[2], n = draws, df = sum(case[[2]]) - 2 - !is.null(case[[3]]))
}
