# Mixed logistic regression by maximum likelihood with Laplace's approximation: package lme4, glmer(nAGQ = 1), its
# deviance function climbed once more by optim and differentiated by central differences (steps of 0.01), since its own
# optimiser stops short of the top here. At its usual tolPwrss the deviance itself is off by 1e-4: hence 1e-12.
# Data: VerbAgg of the same package (De Boeck & Wilson 2004). "Times" is the place of the question, "days" the anger score.
# Writes learning_rate.json and forgetting_rate.json, and prints what tests/stats/learning/test_crossed_logistic.py compares.
suppressMessages(library(lme4))
told <- function(what, ...) cat(what, sprintf("%.10g", c(...)), "\n")
fitted <- function(formula, data) {
  control <- glmerControl(optimizer = "bobyqa", tolPwrss = 1e-12, calc.derivs = FALSE, optCtrl = list(maxfun = 20000))
  fit <- suppressWarnings(glmer(formula, data, binomial, control = control))
  deviance <- update(fit, devFunOnly = TRUE)
  top <- c(getME(fit, "theta"), fixef(fit))
  for (round in 1:5) top <- optim(top, deviance, method = "Nelder-Mead", control = list(reltol = 1e-14, maxit = 5000))$par
  moved <- function(i, j, a, b) { x <- top; x[i] <- x[i] + a; x[j] <- x[j] + b; deviance(x) }
  second <- function(i, j) (moved(i, j, h, h) - moved(i, j, h, -h) - moved(i, j, -h, h) + moved(i, j, -h, -h)) / (4 * h^2)
  h <- 0.01
  covariance <- solve(outer(seq_along(top), seq_along(top), Vectorize(second)) / 2)
  q <- length(getME(fit, "theta"))
  list(sd = setNames(top[1:q], names(getME(fit, "theta"))), beta = top[-(1:q)], se = sqrt(diag(covariance))[-(1:q)],
       loglik = -deviance(top) / 2)
}
d <- VerbAgg
d$y <- as.integer(d$r2 == "Y")
d$times <- as.integer(factor(d$item, levels = unique(d$item)))
for (formula in c(y ~ 1 + (1 | id) + (1 | item), y ~ log1p(times) + log1p(Anger) + (1 | id) + (1 | item))) {
  fit <- fitted(formula, d)
  told("coefficients", fit$beta); told("standard errors", fit$se); told(names(fit$sd), fit$sd); told("log-likelihood", fit$loglik)
}
part <- d[as.integer(d$id) <= 40, ]
part$a <- c(scale(log1p(part$times))); part$b <- c(scale(log1p(part$Anger)))  # scaled, for a better numerical derivative
small <- fitted(y ~ a + b + (1 | id) + (1 | item), part)
per <- c(1, sd(log1p(part$times)), sd(log1p(part$Anger)))
small$beta <- small$beta / per; small$se <- small$se / per
z <- qnorm(0.975)
row <- function(at) list(value = c(small$beta[[at]], 1e-5), low = c(small$beta[[at]] - z * small$se[[at]], 1e-4),
                         high = c(small$beta[[at]] + z * small$se[[at]], 1e-4),
                         p = c(2 * pnorm(-abs(small$beta[[at]] / small$se[[at]])), 1e-5), n = c(nrow(part), 0))
source <- sprintf("R %s.%s, package lme4 %s, glmer(nAGQ = 1) on its VerbAgg, first 40 persons; learning_rate.R beside this file",
                  R.version$major, R.version$minor, packageVersion("lme4"))
for (name in c("learning_rate", "forgetting_rate")) {
  case <- list(id = "lme4_verbagg", source = source, status = "made by that script",
               data = list(right = part$y, students = as.integer(part$id), items = part$times, times = part$times, days = part$Anger),
               options = structure(list(), names = character(0)), expected = row(if (name == "learning_rate") 2 else 3))
  writeLines(jsonlite::toJSON(list(statistic = name, cases = list(case)), auto_unbox = TRUE, digits = 12), paste0(name, ".json"))
}
