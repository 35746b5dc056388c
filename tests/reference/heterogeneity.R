# Standard deviation of true effects, its Q-profile interval, and Q, with package metafor (made with 3.8-1, R 4.2.2).
suppressMessages(library(metafor))
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
tight <- list(threshold = 1e-12, maxiter = 10000, tol = 1e-12)
bcg <- escalc(measure = "RR", ai = tpos, bi = tneg, ci = cpos, di = cneg, data = dat.bcg)
fit <- function(case, data, method) {
  m <- rma(yi, vi, data = data, method = method, control = tight)
  ends <- confint(m, control = list(tol = 1e-12, tau2.max = 100))$random
  say(case, value = sqrt(m$tau2), low = ends["tau", "ci.lb"], high = ends["tau", "ci.ub"], p = m$QEp, df = m$k - 1, n = m$k,
      share = m$I2 / 100, share_low = ends["I^2(%)", "ci.lb"] / 100, share_high = ends["I^2(%)", "ci.ub"] / 100, Q = m$QE)
}
fit("bcg_reml", bcg, "REML"); fit("bcg_dl", bcg, "DL"); fit("bcg_pm", bcg, "PM")
fit("teachers_reml", dat.raudenbush1985, "REML")
