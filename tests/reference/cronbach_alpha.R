# Alpha by package psych 2.2.9; Feldt's limits by base R's qf.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
x <- as.matrix(attitude); a <- suppressWarnings(psych::alpha(x, check.keys = FALSE))$total$raw_alpha; f <- 1 - (1 - a) * qf(c(.975, .025), 29, 29 * 6)
say("attitude", value = a, low = f[1], high = f[2], n = 30)
