# Upper limit of agreement with exact limits from the noncentral t: base R's qt.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
wright <- c(494,395,516,434,476,557,413,442,650,433,417,656,267,478,178,423,427); mini <- c(512,430,520,428,500,600,364,380,658,445,432,626,260,477,259,350,451)
d <- wright - mini; z <- qnorm(.975); q <- suppressWarnings(qt(c(.025, .975), 16, z * sqrt(17))) / sqrt(17); e <- mean(d) + q * sd(d)
say("meters", value = mean(d) + z * sd(d), low = e[1], high = e[2], n = 17)
