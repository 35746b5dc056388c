# Base R: gaps filled in by hand, then t.test.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
y <- sleep$extra; y[c(2, 15, 16)] <- NA; g <- sleep$group == 2
for (side in c("lowest", "highest")) { one <- y; low <- side == "lowest"; one[is.na(one) & g] <- if (low) -2 else 6; one[is.na(one) & !g] <- if (low) 6 else -2
  t <- t.test(one[g], one[!g]); say(side, value = -diff(t$estimate), low = t$conf.int[1], high = t$conf.int[2], n = 20, df = t$parameter, p = t$p.value)
  all <- y; all[is.na(all)] <- if (low) -2 else 6; t <- t.test(all); say(paste0(side, "_one_group"), value = t$estimate, low = t$conf.int[1], high = t$conf.int[2], n = 20, df = t$parameter) }
