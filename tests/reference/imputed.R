# Package mice 3.15.0: chained equations with Bayesian linear regression, pooled by pool.scalar. Runs five minutes.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
suppressMessages(library(mice)); imp <- mice(airquality[, 1:4], method = "norm", m = 2000, maxit = 10, printFlag = FALSE, seed = 1)
q <- sapply(1:2000, function(i) { o <- complete(imp, i)$Ozone; c(mean(o), var(o) / 153) }); p <- pool.scalar(q[1, ], q[2, ], n = 153, k = 1)
say("ozone", value = p$qbar, low = p$qbar - qt(.975, p$df) * sqrt(p$t), high = p$qbar + qt(.975, p$df) * sqrt(p$t), n = 153, df = p$df, p = 2 * pt(-p$qbar / sqrt(p$t), p$df))
