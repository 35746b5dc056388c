# Fieller's limits as the ratios that base R's t.test just fails to reject.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
pre <- c(40, 45, 50, 38, 52, 61, 47, 44); post <- c(70, 73, 73, 55, 80, 78, 60, 75); u <- 100 - pre; v <- 100 - post
reject <- function(theta) t.test(v - theta * u)$p.value - .05; centre <- mean(v) / mean(u)
low <- uniroot(reject, c(centre - .5, centre), tol = 1e-12)$root; high <- uniroot(reject, c(centre, centre + .5), tol = 1e-12)$root
say("eight_students", value = mean(post - pre) / mean(u), low = 1 - high, high = 1 - low, n = 8)
