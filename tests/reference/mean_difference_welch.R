# Welch's t: base R's t.test on data carried by R.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
one <- mtcars$mpg[mtcars$am == 1]; two <- mtcars$mpg[mtcars$am == 0]
t <- t.test(one, two)
say("mtcars", value = mean(one) - mean(two), low = t$conf.int[1], high = t$conf.int[2], n = 32, df = t$parameter, p = t$p.value)
