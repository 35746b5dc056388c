# Student's t of R's PlantGrowth (t.test), and exact J and noncentral-t limits from it, base R.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
ncp <- function(t, df, p) uniroot(function(l) suppressWarnings(pt(t, df, l)) - p, c(t - 10, t + 10), tol = 1e-12)$root
J <- function(m) exp(lgamma(m / 2) - lgamma((m - 1) / 2)) / sqrt(m / 2)
made <- t.test(PlantGrowth$weight[PlantGrowth$group == "trt2"], PlantGrowth$weight[PlantGrowth$group == "trt1"], var.equal = TRUE)
t <- unname(made$statistic); f <- sqrt(.2)
say("plants", t = t, value = J(18) * t * f, low = ncp(t, 18, .975) * f, high = ncp(t, 18, .025) * f, p = made$p.value, df = 18, n = 20)
