# Rank sum: base R's wilcox.test; with ties the exact p-value by listing all ways to choose the group.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
x <- c(.80, .83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, .73, 1.46); y <- c(1.15, .88, .90, .74, 1.21)
for (level in c(.95, .90)) { w <- wilcox.test(x, y, conf.int = TRUE, conf.level = level)
  say(sprintf("permeability_%g", level), value = w$estimate, low = w$conf.int[1], high = w$conf.int[2], n = 15, p = w$p.value) }
x <- c(3, 5, 5, 8, 9, 7); y <- c(2, 5, 4, 3, 3); d <- sort(outer(x, y, "-")); k <- qwilcox(.025, 6, 5)  # whole points: ties
r <- rank(c(x, y)); sums <- combn(11, 6, function(i) sum(r[i])); away <- abs(sums - mean(sums))
say("whole_points", value = median(d), low = d[k], high = d[31 - k], n = 11, p = mean(away >= abs(sum(r[1:6]) - mean(sums)) - 1e-9))
