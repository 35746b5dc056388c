# Two-sample t with one pooled spread: base R's t.test on data carried by R.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
one <- PlantGrowth$weight[PlantGrowth$group == "trt2"]; two <- PlantGrowth$weight[PlantGrowth$group == "trt1"]
t <- t.test(one, two, var.equal = TRUE)
say("plant_growth", value = mean(one) - mean(two), low = t$conf.int[1], high = t$conf.int[2], n = 20, df = t$parameter, p = t$p.value)
