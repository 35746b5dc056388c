# Base R: t.test on gains, on two groups, and on half the gains of the two orders.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
x <- sleep$extra[1:10]; y <- sleep$extra[11:20]; said <- function(case, t, n) say(case, value = t$value, low = t$value - qt(.975, t$df) * t$se, high = t$value + qt(.975, t$df) * t$se, n = n, df = t$df, p = 2 * pt(-abs(t$value / t$se), t$df))
of <- function(t, value) list(value = unname(value), se = t$stderr, df = unname(t$parameter))
d <- y - x; first <- rep(c(TRUE, FALSE), c(4, 6))
said("single_group", of(t.test(d), mean(d)), 10)
said("random_groups", of(t.test(y, x), mean(y) - mean(x)), 20)
said("counterbalanced", of(t.test(d[first] / 2, -d[!first] / 2), mean(d[first]) / 2 + mean(d[!first]) / 2), 10)

# The standard error of Tucker's mean by the bootstrap (5,000 samples, students drawn anew within each form) instead of by the influence of each
# student: does the formula tell how far the number really scatters? Data: equating_anchor.csv beside this file. The limits take the
# degrees of freedom of the formula, which are checked in equate_linear.R.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.6g\n", case, part, parts[[part]])) }
d <- read.csv("equating_anchor.csv"); one <- d[rep(which(d$form == "x"), d$students[d$form == "x"]), ]; two <- d[rep(which(d$form == "y"), d$students[d$form == "y"]), ]
tucker <- function(one, two) { g <- cov(two$total, two$anchor) / var(two$anchor); mean(two$total) + g * (mean(one$anchor) - mean(two$anchor)) - mean(one$total) }
set.seed(20261126); draws <- replicate(5000, tucker(one[sample(nrow(one), replace = TRUE), ], two[sample(nrow(two), replace = TRUE), ]))
say("anchor", value = tucker(one, two), error = sd(draws), n = nrow(one) + nrow(two))
