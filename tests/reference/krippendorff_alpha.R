# Nominal alpha and the percentile bootstrap over students, 100,000 resamples: base R. Data: 30 patients, 6 raters, Fleiss (1971).
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
d <- matrix(c(4, 4, 4, 4, 4, 4, 2, 2, 2, 5, 5, 5, 2, 3, 3, 3, 3, 5, 5, 5, 5, 5, 5, 5, 2, 2, 2, 4, 4, 4, 1, 1, 3, 3, 3, 3, 3, 3, 3, 3, 5, 5, 1, 1, 3, 3, 3, 4, 1, 1, 4, 4, 4, 4, 5, 5, 5, 5, 5, 5, 1, 4, 4, 4, 4, 4, 1, 2, 4, 4, 4, 4, 2, 2, 2, 3, 3, 3, 1, 4, 4, 4, 4, 4, 2, 2, 4, 4, 4, 5, 3, 3, 3, 3, 3, 5, 1, 1, 1, 4, 5, 5, 1, 1, 1, 1, 1, 2, 2, 2, 4, 4, 4, 4, 1, 3, 3, 5, 5, 5, 5, 5, 5, 5, 5, 5, 2, 4, 4, 4, 4, 4, 2, 2, 4, 5, 5, 5, 1, 1, 4, 4, 4, 4, 1, 4, 4, 4, 4, 5, 2, 2, 2, 2, 2, 4, 1, 1, 1, 1, 5, 5, 2, 2, 4, 4, 4, 4, 1, 3, 3, 3, 3, 3, 5, 5, 5, 5, 5, 5), ncol = 6, byrow = TRUE)
n <- t(apply(d, 1, function(r) tabulate(r, 5))); within <- (36 - rowSums(n^2)) / 5
alpha <- function(w) { all <- drop(w %*% n); N <- sum(all); 1 - (N - 1) * sum(w * within) / (N^2 - sum(all^2)) }
set.seed(1); drawn <- replicate(1e5, alpha(tabulate(sample.int(30, replace = TRUE), 30))); q <- quantile(drawn, c(.025, .975))
say("diagnoses", value = alpha(rep(1, 30)), low = q[[1]], high = q[[2]], n = 30)
