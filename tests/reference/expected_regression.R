# Regression towards the average: cor.test of base R (Fisher's interval of r), open data MASS anorexia, girls who weighed under 78 pounds.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
pre <- MASS::anorexia$Prewt; post <- MASS::anorexia$Postwt; light <- pre < 78
for (level in c(.95, .80)) {
  r <- cor.test(pre, post, conf.level = level); away <- mean(pre) - mean(pre[light])
  say(sprintf("anorexia_%g", level), value = (1 - r$estimate) * away, low = (1 - r$conf.int[2]) * away, high = (1 - r$conf.int[1]) * away, n = sum(light))
}
