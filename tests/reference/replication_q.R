# Original and replication with package metafor (made with 3.8-1, R 4.2.2): Q, difference and prediction.
suppressMessages(library(metafor))
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
pair <- function(case, o, eo, r, er) {
  q <- rma(yi = c(o, r), sei = c(eo, er), method = "EE"); say(case, value = q$QE, p = q$QEp, df = 1, n = 2)
  d <- rma(yi = c(o, r), sei = c(eo, er), mods = c(0, 1), method = "FE")
  say(paste0(case, "_difference"), value = d$beta[2], low = d$ci.lb[2], high = d$ci.ub[2], p = d$pval[2], n = 2)
  h <- qnorm(.975) * sqrt(eo^2 + er^2); say(paste0(case, "_prediction"), value = o, low = o - h, high = o + h, n = 2)
}
pair("worked", 0.5, 0.2622, 0.2, 0.2242); pair("apart", 0.9, 0.15, -0.1, 0.1)
