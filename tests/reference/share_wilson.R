# Wilson's interval: base R's prop.test without continuity correction.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
for (x in list(c(81, 263), c(15, 148), c(0, 20), c(1, 29))) {
  t <- suppressWarnings(prop.test(x[1], x[2], correct = FALSE))
  say(sprintf("%g_of_%g", x[1], x[2]), value = x[1] / x[2], low = t$conf.int[1], high = t$conf.int[2], n = x[2])
}
