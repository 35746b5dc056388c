# Pearson's r of R's mtcars with the interval and p of cor.test, base R.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
made <- cor.test(mtcars$mpg, mtcars$wt)
say("cars", value = unname(made$estimate), low = made$conf.int[1], high = made$conf.int[2], p = made$p.value, df = 30, n = 32)
