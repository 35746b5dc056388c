# Base R: t.test where there is no anchor; with an anchor Tucker's mean by lm, its standard error by the influence of each student, written out.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
x <- attitude$rating[1:15]; v <- attitude$learning[1:15]; y <- attitude$complaints[16:30]; w <- attitude$learning[16:30]; n <- 15
g <- unname(coef(lm(y ~ w))[2]); value <- mean(y) + g * (mean(v) - mean(w)) - mean(x)
one <- g * (v - mean(v)) - (x - mean(x))
rest <- (y - mean(y)) - g * (w - mean(w)); two <- rest + (mean(v) - mean(w)) * rest * (w - mean(w)) / mean((w - mean(w))^2)
a <- var(one) / n; b <- var(two) / n; se <- sqrt(a + b); df <- (a + b)^2 / (a^2 / (n - 1) + b^2 / (n - 1))
say("anchor", value = value, low = value - qt(.975, df) * se, high = value + qt(.975, df) * se, n = 30, df = df, p = 2 * pt(-abs(value / se), df))
t <- t.test(attitude$complaints, attitude$rating, paired = TRUE)
say("single_group", value = t$estimate, low = t$conf.int[1], high = t$conf.int[2], n = 30, df = t$parameter, p = t$p.value)
