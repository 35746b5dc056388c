# Pearson's r with Fisher's limits: base R's cor.test.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
for (pair in list(c("x1", "y1"), c("x4", "y4"))) {
  t <- cor.test(anscombe[[pair[1]]], anscombe[[pair[2]]])
  say(paste0("anscombe_", pair[1]), value = t$estimate, low = t$conf.int[1], high = t$conf.int[2], n = 11, df = t$parameter, p = t$p.value)
}
