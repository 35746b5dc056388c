# Pearson's r with Fisher's limits: base R's cor.test.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
for (pair in list(c("x1", "y1"), c("x4", "y4"))) {
  t <- cor.test(anscombe[[pair[1]]], anscombe[[pair[2]]])
  say(paste0("anscombe_", pair[1]), value = t$estimate, low = t$conf.int[1], high = t$conf.int[2], n = 11, df = t$parameter, p = t$p.value)
}
# The jackknife, of this and other statistics: influence values of boot::empinf, Student's t on n - 1.
ends <- function(case, d, stat, fisher = FALSE, most = Inf, after = identity) {
  f <- if (fisher) atanh else identity; g <- if (fisher) tanh else identity; n <- nrow(d)
  L <- boot::empinf(data = d, statistic = function(d, i) f(stat(d[i, , drop = FALSE])), type = "jack", stype = "i")
  h <- qt(.975, n - 1) * sqrt(sum((L - mean(L))^2) / (n * (n - 1)))
  cat(sprintf("jackknife_%s %.15g %.15g\n", case, after(g(f(stat(d)) - h)), after(min(g(f(stat(d)) + h), most))))
}
r <- function(d) cor(d[, 1], d[, 2])
ends("law", cbind(c(576, 635, 558, 578, 666, 580, 555, 661, 651, 605, 653, 575, 545, 572, 594),
  c(3.39, 3.30, 2.81, 3.03, 3.44, 3.07, 3.00, 3.43, 3.36, 3.13, 3.12, 2.74, 2.76, 2.88, 2.96)), r, TRUE)
pp <- cbind(c(10, 12, 15, 9, 14, 11, 13, 8), c(13, 14, 21, 9, 18, 16, 12, 12)); gain <- function(d) mean(d[, 2] - d[, 1])
ends("gains", pp, function(d) gain(d) / sd(d[, 1]))
ends("gains_average", pp, function(d) gain(d) / sqrt((var(d[, 1]) + var(d[, 2])) / 2))
ends("halves", pp, r, TRUE, after = function(r) 2 * r / (1 + r))
sf <- matrix(c(9, 2, 5, 8, 6, 1, 3, 2, 8, 4, 6, 8, 7, 1, 2, 6, 10, 5, 6, 9, 6, 2, 4, 7), 6, byrow = TRUE)
alpha <- function(d) { k <- ncol(d); k / (k - 1) * (1 - sum(apply(d, 2, var)) / var(rowSums(d))) }
ends("alpha", sf, alpha, most = 1)
ends("kr20", matrix(c(1, 1, 1, 0, 0, 0, 1, 0, 1, 0, 1, 1, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 0, 1, 0, 1, 0, 0), 7, byrow = TRUE), alpha, most = 1)
icc <- function(d, form) { n <- nrow(d); k <- ncol(d); y <- c(d); s <- factor(rep(1:n, k)); j <- factor(rep(1:k, each = n))
  m <- anova(lm(y ~ s + j))[["Mean Sq"]]; w <- anova(lm(y ~ s))[["Mean Sq"]][2]; noise <- if (form == "o") w else m[3]
  (m[1] - noise) / (m[1] + (k - 1) * noise + if (form == "a") k * (m[2] - m[3]) / n else 0) }
ends("icc", sf, function(d) icc(d, "a"), TRUE); ends("icc_average", sf, function(d) icc(d, "a"), TRUE, after = function(r) 4 * r / (1 + 3 * r))
ends("icc_consistency", sf, function(d) icc(d, "c"), TRUE); ends("icc_one_way", sf, function(d) icc(d, "o"), TRUE)
ends("kappa", cbind(c(1, 1, 2, 2, 3, 3, 3, 1), c(1, 1, 2, 3, 3, 3, 2, 1)), function(d) { p <- table(factor(d[, 1], 1:3), factor(d[, 2], 1:3)) / nrow(d)
  w <- outer(1:3, 1:3, "-")^2; 1 - sum(p * w) / sum(outer(rowSums(p), colSums(p)) * w) }, most = 1)
