# Share of whole agreement with Wilson's limits: base R.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
for (data in list(list("four_of_five", 4, 5), list("tolerance", 7, 20))) { ci <- prop.test(data[[2]], data[[3]], correct = FALSE)$conf.int; say(data[[1]], value = data[[2]] / data[[3]], low = ci[1], high = ci[2], n = data[[3]]) }
