# Noncentral-t limits with base R's pt and uniroot.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
ncp <- function(t, df, p) uniroot(function(l) suppressWarnings(pt(t, df, l)) - p, c(t - 30, t + 30), tol = 1e-12)$root
pre <- sleep$extra[sleep$group == 1]; post <- sleep$extra[sleep$group == 2]; d <- mean(post - pre) / sd(post - pre); t <- d * sqrt(10)
say("sleep", value = d, low = ncp(t, 9, .975) / sqrt(10), high = ncp(t, 9, .025) / sqrt(10), n = 10)
# hardly any change at 99 %: here the inverse in scipy (nctdtrinc) answers as if t were 0
h <- pre - mean(pre) + 0.03; d <- mean(h) / sd(h); t <- d * sqrt(10)
say("hardly_any_99", value = d, low = ncp(t, 9, .995) / sqrt(10), high = ncp(t, 9, .005) / sqrt(10), n = 10)
