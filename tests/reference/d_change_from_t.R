# Paired t of R's sleep (t.test), and noncentral-t limits from it, base R.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
ncp <- function(t, df, p) uniroot(function(l) suppressWarnings(pt(t, df, l)) - p, c(t - 10, t + 10), tol = 1e-12)$root
made <- t.test(sleep$extra[sleep$group == 2] - sleep$extra[sleep$group == 1]); t <- unname(made$statistic)
say("sleep", t = t, value = t / sqrt(10), low = ncp(t, 9, .975) / sqrt(10), high = ncp(t, 9, .025) / sqrt(10), p = made$p.value, df = 9, n = 10)
