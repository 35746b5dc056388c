# An interrupted series: packages sandwich (Newey and West) and nlme (AR(1) by restricted maximum likelihood).
suppressMessages({library(sandwich); library(nlme)})
show <- function(id, e, s, df, n) cat(sprintf("%s value %.12g\n%s low %.12g\n%s high %.12g\n%s df %d\n%s p %.12g\n%s n %d\n",
  id, e, id, e - qt(.975, df) * s, id, e + qt(.975, df) * s, id, df, id, 2 * pt(-abs(e / s), df), id, n))
hac <- function(id, y, t, start, at, lag) {
  a <- as.numeric(t >= start); x <- t - start; m <- lm(y ~ x + a + I(x * a)); n <- length(y)
  show(id, coef(m)[at], sqrt(diag(NeweyWest(m, lag=lag, prewhite=FALSE, adjust=TRUE)))[at], n - 4, n)
}
ar <- function(id, y, t, start, at, form=corAR1(form=~t)) {
  d <- data.frame(y, t, x=t - start, a=as.numeric(t >= start)); n <- length(y)
  m <- gls(y ~ x + a + I(x * a), d, correlation=form, method="REML", control=glsControl(msTol=1e-13, tolerance=1e-13, opt="nlminb"))
  show(id, coef(m)[at], sqrt(diag(vcov(m)))[at], n - 4, n)
}
river <- as.numeric(Nile); year <- 1871:1970
hac("river_level", river, year, 1899, 3, 4); hac("river_slope", river, year, 1899, 4, 4); hac("river_two_lags", river, year, 1899, 3, 2)
ar("river_level_ar1", river, year, 1899, 3); ar("river_slope_ar1", river, year, 1899, 4)
short <- c(10,11,11,13,13,19,20,22,22,24,25,25); hac("short", short, 0:11, 5, 3, 2)
some <- c(15, 10, 11, 14, 13, 12, 16, 15, 13, 17, 22, 20, 23, 21, 20, 24, 22, 25, 23, 26)
there <- -c(4, 9, 10, 15) # results that are missing: neighbours two and three apart
ar("gaps_ar1", some[there], (0:19)[there], 10, 3)
# days that are not whole steps apart: correlation falls with the distance
days <- c(0, 7, 13, 21, 30, 34, 43, 50, 60, 67, 71, 80, 91, 99, 104, 112)
slow <- c(10,12,13,13,12,11,12,14,20,22,22,21,20,21,24,25)
ar("days_ar1", slow, days, 60, 3, corCAR1(value=.5, form=~t))
