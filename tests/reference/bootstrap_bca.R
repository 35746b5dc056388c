# A bootstrap in plain base R: 200,000 resamples of the spatial test (variance) and of the law schools (correlation).
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
A <- c(48, 36, 20, 29, 42, 42, 20, 42, 22, 41, 45, 14, 6, 0, 33, 28, 34, 4, 32, 24, 47, 41, 24, 26, 30, 41)
v <- function(z) mean((z - mean(z))^2); set.seed(6); M <- matrix(sample(A, 26 * 200000, TRUE), 26); b <- colMeans(M^2) - colMeans(M)^2
bca <- function(case, b, seen, jack, level) { d <- mean(jack) - jack; a <- sum(d^3) / (6 * sum(d^2)^1.5); z0 <- qnorm((mean(b < seen) + mean(b <= seen)) / 2)
  z <- qnorm(c(1 - level, 1 + level) / 2); q <- quantile(b, pnorm(z0 + (z0 + z) / (1 - a * (z0 + z))), names = FALSE); p <- quantile(b, c(1 - level, 1 + level) / 2, names = FALSE)
  say(case, low = q[1], high = q[2], percentile_low = p[1], percentile_high = p[2]) }
bca("spatial", b, v(A), sapply(1:26, function(i) v(A[-i])), .90)
x <- c(576, 635, 558, 578, 666, 580, 555, 661, 651, 605, 653, 575, 545, 572, 594)
y <- c(3.39, 3.30, 2.81, 3.03, 3.44, 3.07, 3.00, 3.43, 3.36, 3.13, 3.12, 2.74, 2.76, 2.88, 2.96)
I <- matrix(sample(15, 15 * 200000, TRUE), 15); X <- matrix(x[I], 15); Y <- matrix(y[I], 15)
r <- (colMeans(X * Y) - colMeans(X) * colMeans(Y)) / sqrt((colMeans(X^2) - colMeans(X)^2) * (colMeans(Y^2) - colMeans(Y)^2))
bca("law", r, cor(x, y), sapply(1:15, function(i) cor(x[-i], y[-i])), .95)
