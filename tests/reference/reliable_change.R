# Reliable change index with the spread of first scores, and Wilson's limits of the share: base R, data sleep.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
pre <- sleep$extra[1:10]; post <- sleep$extra[11:20]; rc <- (post - pre) / (sd(pre) * sqrt(2 * (1 - .8)))
for (way in c(1, -1)) { hits <- sum(way * rc > qnorm(.975)); ci <- suppressWarnings(prop.test(hits, 10, correct = FALSE))$conf.int; say(paste0("sleep_", if (way == 1) "rose" else "fell"), value = hits / 10, low = ci[1], high = ci[2], n = 10) }
