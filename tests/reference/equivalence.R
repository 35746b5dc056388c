# Two one-sided tests from an estimate, base R.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
tost <- function(case, x, e, b, df, n, level = .9) { h <- qt((1 + level) / 2, df) * e
  say(case, value = x, low = x - h, high = x + h, p = max(pt((x + b) / e, df, lower.tail = FALSE), pt((x - b) / e, df)), df = df, n = n) }
tost("t_28", -0.12, 0.19, 0.5, 28, 30); tost("normal", 0.2, 0.2242, 0.3, Inf, 80)
