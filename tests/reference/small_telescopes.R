# Effect at 33 % power with base R's power.t.test, and the replication beside it.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
d <- power.t.test(n = 30, power = .33, strict = TRUE, tol = 1e-12)$delta; h <- qnorm(.95) * .2242
say("two_groups_30", small = d, value = .2 - d, low = .2 - d - h, high = .2 - d + h, p = pnorm((.2 - d) / .2242), n = 80)
d <- power.t.test(n = 20, power = .33, type = "one.sample", strict = TRUE, tol = 1e-12)$delta; h <- qt(.95, 59) * .13
say("one_group_20", small = d, value = .05 - d, low = .05 - d - h, high = .05 - d + h, p = pt((.05 - d) / .13, 59), df = 59, n = 60)
