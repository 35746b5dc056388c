# Two one-sided tests of two groups with base R's t.test, on R's PlantGrowth.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
a <- PlantGrowth$weight[PlantGrowth$group == "trt2"]; b <- PlantGrowth$weight[PlantGrowth$group == "ctrl"]
for (pooled in c(TRUE, FALSE)) {
  above <- t.test(a, b, mu = -1, alternative = "greater", var.equal = pooled); below <- t.test(a, b, mu = 1, alternative = "less", var.equal = pooled)
  ends <- t.test(a, b, conf.level = .9, var.equal = pooled)$conf.int
  say(if (pooled) "plants_pooled" else "plants_own", value = mean(a) - mean(b), low = ends[1], high = ends[2], p = max(above$p.value, below$p.value), df = unname(above$parameter), n = 20)
}
