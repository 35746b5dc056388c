# One-sample t interval: base R's t.test on data carried by R.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
for (level in c(.95, .99)) {
  t <- t.test(PlantGrowth$weight[PlantGrowth$group == "ctrl"], conf.level = level)
  say(sprintf("plant_growth_%g", level), value = t$estimate, low = t$conf.int[1], high = t$conf.int[2], n = 10, df = t$parameter)
}
