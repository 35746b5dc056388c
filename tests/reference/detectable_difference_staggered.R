# Staggered start, every student of every choir at every test as a row of its own: generalised least squares with the
# variances of Hooper, Teerenstra, de Hoop & Eldridge (2016), in place of the closed formula of Hussey & Hughes (2007).
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
away <- function(df, power = .8) uniroot(function(d) pt(qt(.975, df), df, d) - (1 - power), c(0, 100), tol = 1e-13)$root
error <- function(starts, m, icc, r, c = r) {
  tests <- length(starts) + 1
  first <- rep(seq_along(starts), starts)
  rows <- expand.grid(test = 0:(tests - 1), student = 1:m, choir = seq_along(first))
  x <- cbind(rows$test >= first[rows$choir], sapply(0:(tests - 1), function(t) rows$test == t)) + 0
  block <- rows[rows$choir == 1, ]
  same <- outer(block$test, block$test, "==")
  student <- outer(block$student, block$student, "==")
  v <- icc * ifelse(same, 1, c) + (1 - icc) * student * ifelse(same, 1, r)
  information <- Reduce(`+`, lapply(seq_along(first), function(i) { part <- x[rows$choir == i, ]; t(part) %*% solve(v, part) }))
  sqrt(solve(information)[1, 1])
}
plans <- list(
  eight = list(starts = c(3, 3, 2), m = 25, icc = .2, r = .7),
  four = list(starts = c(2, 2), m = 8, icc = .1, r = .5),
  twelve_lasting = list(starts = c(3, 3, 3, 3), m = 20, icc = .15, r = .6, c = .9),
  one_each = list(starts = c(1, 1, 1, 1, 1), m = 12, icc = .25, r = .8, c = 1)
)
for (name in names(plans)) {
  choirs <- sum(plans[[name]]$starts)
  say(name, value = away(choirs - 2) * do.call(error, plans[[name]]), n = choirs, df = choirs - 2)
}
