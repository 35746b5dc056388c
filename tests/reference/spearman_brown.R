# Correlation of two halves with Fisher's limits, stepped up: base R.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
t <- cor.test(rowSums(attitude[, c(1, 3, 5)]), rowSums(attitude[, c(2, 4, 6)])); up <- function(r, k) k * r / (1 + (k - 1) * r)
for (k in c(2, 5)) say(paste0("attitude_", k), value = up(t$estimate, k), low = up(t$conf.int[1], k), high = up(t$conf.int[2], k), n = 30)
