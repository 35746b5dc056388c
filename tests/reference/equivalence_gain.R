# Two one-sided tests of a mean gain with base R's t.test, on R's sleep.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
gain <- sleep$extra[sleep$group == 2] - sleep$extra[sleep$group == 1]
above <- t.test(gain, mu = -2.5, alternative = "greater"); below <- t.test(gain, mu = 2.5, alternative = "less"); ends <- t.test(gain, conf.level = .9)$conf.int
say("sleep", value = mean(gain), low = ends[1], high = ends[2], p = max(above$p.value, below$p.value), df = 9, n = 10)
