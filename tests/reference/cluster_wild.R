# Restricted wild cluster bootstrap-t by brute force in base R: every pattern of signs, a new regression for each.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
choir <- rep(1:8, each = 4); trt <- rep(c(1, 0, 1, 0, 1, 0, 1, 0), each = 4)
pre <- c(10,12,9,14,11,13,10,12,8,9,12,11,14,15,12,13,10,9,11,12,12,11,13,10,13,15,14,12,9,8,10,11)
post <- c(15,18,14,19,13,15,13,14,12,13,16,16,17,17,14,16,16,13,16,18,13,13,16,12,20,21,19,18,11,9,12,12)
tstat <- function(y, X, null) {
  M <- solve(crossprod(X)); b <- M %*% crossprod(X, y); e <- y - X %*% b
  S <- t(sapply(split(seq_along(y), choir), function(i) crossprod(X[i, , drop = FALSE], e[i])))
  (b[1] - null) / sqrt((M %*% crossprod(S) %*% M)[1, 1])
}
signs <- as.matrix(expand.grid(rep(list(c(-1, 1)), 8)))
p_of <- function(null, X) {
  Z <- X[, -1, drop = FALSE]; fit <- lm.fit(Z, post - null * X[, 1]); u <- fit$residuals; yhat <- post - u
  t0 <- abs(tstat(post, X, null))
  mean(apply(signs, 1, function(s) abs(tstat(yhat + s[choir] * u, X, null))) >= t0 * (1 - 1e-9))
}
end <- function(X, from, to) { # p is a step: the place where it crosses .05
  for (i in 1:45) { mid <- (from + to) / 2; if (p_of(mid, X) > .05) from <- mid else to <- mid }; to
}
one <- function(case, X) {
  b <- solve(crossprod(X), crossprod(X, post))[1]
  say(case, value = b, low = end(X, b, b - 15), high = end(X, b, b + 15), n = 32, p = p_of(0, X))
}
one("r_adjusted", cbind(trt, pre, 1))
one("r_unadjusted", cbind(trt, 1))
