# Paired t: base R's t.test on Cushny and Peebles' data, carried by R as 'sleep'.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
pre <- sleep$extra[sleep$group == 1]; post <- sleep$extra[sleep$group == 2]
for (level in c(.95, .90)) {
  t <- t.test(post, pre, paired = TRUE, conf.level = level)
  say(sprintf("sleep_%g", level), value = mean(post - pre), low = t$conf.int[1], high = t$conf.int[2], n = 10, df = t$parameter, p = t$p.value)
}
