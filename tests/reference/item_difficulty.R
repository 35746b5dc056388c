# Share right with Wilson's limits: base R.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
ci <- prop.test(13, 20, correct = FALSE)$conf.int; say("right_13_of_20", value = 13 / 20, low = ci[1], high = ci[2], n = 20)
