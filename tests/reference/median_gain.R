# Signed rank: base R's wilcox.test; with ties the exact p-value by listing all sign patterns.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
x <- c(1.83, .50, 1.62, 2.48, 1.68, 1.88, 1.55, 3.06, 1.30); y <- c(.878, .647, .598, 2.05, 1.06, 1.29, 1.06, 3.14, 1.29)
for (level in c(.95, .90)) {
  w <- wilcox.test(y - x, conf.int = TRUE, conf.level = level)
  say(sprintf("depression_%g", level), value = w$estimate, low = w$conf.int[1], high = w$conf.int[2], n = 9, p = w$p.value)
}
d <- c(3, 2, 6, 0, -1, 4, 5, 2, 2, 1, -2, 7)  # whole points: ties and a zero
walsh <- sort((outer(d, d, "+") / 2)[lower.tri(diag(12), diag = TRUE)]); k <- qsignrank(.025, 12)
m <- d[d != 0]; r <- rank(abs(m)); signs <- as.matrix(expand.grid(rep(list(0:1), length(m)))); sums <- signs %*% r
seen <- sum(r[m > 0]); p <- min(1, 2 * min(mean(sums <= seen), mean(sums >= seen)))
say("whole_points", value = median(walsh), low = walsh[k], high = walsh[length(walsh) + 1 - k], n = 12, p = p)
