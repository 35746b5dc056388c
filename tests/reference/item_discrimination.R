# Corrected item-total correlation by package psych 2.2.9; limits and p by base R's cor.test.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
x <- as.matrix(attitude); r <- suppressWarnings(psych::alpha(x, check.keys = FALSE))$item.stats$r.drop
for (j in c(1, 6)) { t <- cor.test(x[, j], rowSums(x[, -j])); say(paste0("attitude_", j), value = r[j], low = t$conf.int[1], high = t$conf.int[2], n = 30, df = t$parameter, p = t$p.value) }
