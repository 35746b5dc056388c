# Pooled effects with package metafor (made with 3.8-1, R 4.2.2), tight convergence, on its own copies of published data.
suppressMessages(library(metafor))
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
tight <- list(threshold = 1e-12, maxiter = 10000, tol = 1e-12)
fit <- function(case, data, method, test, level = 95) {
  m <- rma(yi, vi, data = data, method = method, test = test, level = level, control = tight)
  say(case, value = as.numeric(m$beta), low = m$ci.lb, high = m$ci.ub, p = m$pval, n = m$k, df = if (test == "knha") m$k - 1 else NA)
}
bcg <- escalc(measure = "RR", ai = tpos, bi = tneg, ci = cpos, di = cneg, data = dat.bcg)
cat("bcg effects", sprintf("%.15g", bcg$yi), "\n"); cat("bcg errors", sprintf("%.15g", sqrt(bcg$vi)), "\n")
fit("bcg_reml_knha", bcg, "REML", "knha")
fit("bcg_reml_normal_90", bcg, "REML", "z", 90)
fit("bcg_dl_normal", bcg, "DL", "z")
fit("bcg_pm_knha", bcg, "PM", "knha")
fit("bcg_none_normal", bcg, "EE", "z")
fit("teachers_reml_normal", dat.raudenbush1985, "REML", "z")
fit("teachers_pm_knha", dat.raudenbush1985, "PM", "knha")
