# Paired t test of two readings: base R. Data: Bland & Altman (1986), first readings of both meters.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
wright <- c(494,395,516,434,476,557,413,442,650,433,417,656,267,478,178,423,427); mini <- c(512,430,520,428,500,600,364,380,658,445,432,626,260,477,259,350,451)
t <- t.test(wright, mini, paired = TRUE); say("meters", value = t$estimate, low = t$conf.int[1], high = t$conf.int[2], n = 17, df = t$parameter, p = t$p.value)
