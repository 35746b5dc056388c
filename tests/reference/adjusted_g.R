# Coefficient and standard error from base R's lm, over the pooled SD of second scores as they are.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
J <- function(m) exp(lgamma(m / 2) - lgamma((m - 1) / 2)) / sqrt(m / 2)
pre <- c(10,12,9,14,11,13,10,12,8,9,12,11,14,15,12,13,10,9,11,12,12,11,13,10,13,15,14,12,9,8,10,11)
post <- c(15,18,14,19,13,15,13,14,12,13,16,16,17,17,14,16,16,13,16,18,13,13,16,12,20,21,19,18,11,9,12,12); trt <- rep(c(1, 0), 4, each = 4)
pool <- function(x) sqrt((15 * var(x[trt == 1]) + 15 * var(x[trt == 0])) / 30)
f <- summary(lm(post ~ trt + pre))$coefficients["trt", ]; g <- J(30) * f[1] / pool(post); se <- sqrt((f[2] / pool(post))^2 + g^2 / 58)
say("eight_choirs", value = g, low = g - qt(.975, 29) * se, high = g + qt(.975, 29) * se, n = 32, df = 29, p = f[4])
