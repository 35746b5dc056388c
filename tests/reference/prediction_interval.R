# Prediction intervals (Higgins, Thompson & Spiegelhalter 2009, equation 12) on fits of package metafor (3.8-1, R 4.2.2).
suppressMessages(library(metafor))
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
tight <- list(threshold = 1e-12, maxiter = 10000, tol = 1e-12)
bcg <- escalc(measure = "RR", ai = tpos, bi = tneg, ci = cpos, di = cneg, data = dat.bcg)
fit <- function(case, data, method, level = .95) {
  m <- rma(yi, vi, data = data, method = method, control = tight)
  half <- qt((1 + level) / 2, m$k - 2) * sqrt(m$tau2 + m$se^2); mu <- as.numeric(m$beta)
  say(case, value = mu, low = mu - half, high = mu + half, n = m$k, df = m$k - 2)
}
fit("bcg_reml", bcg, "REML"); fit("bcg_pm_90", bcg, "PM", .9); fit("teachers_dl", dat.raudenbush1985, "DL")
at <- predict(rma(yi, vi, data = bcg, control = tight)); say("bcg_normal", value = at$pred, low = at$pi.lb, high = at$pi.ub, n = 13)
