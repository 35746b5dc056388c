# Prediction intervals with package metafor (made with 3.8-1, R 4.2.2): pi.type="Riley" has k - 2 degrees of freedom.
suppressMessages(library(metafor))
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
tight <- list(threshold = 1e-12, maxiter = 10000, tol = 1e-12)
bcg <- escalc(measure = "RR", ai = tpos, bi = tneg, ci = cpos, di = cneg, data = dat.bcg)
fit <- function(case, data, method, type) {
  m <- rma(yi, vi, data = data, method = method, control = tight); at <- predict(m, pi.type = type)
  say(case, value = at$pred, low = at$pi.lb, high = at$pi.ub, n = m$k, df = if (type == "Riley") m$k - 2 else NA)
}
fit("bcg_riley", bcg, "REML", "Riley"); fit("bcg_normal", bcg, "REML", "default")
fit("teachers_riley_dl", dat.raudenbush1985, "DL", "Riley")
