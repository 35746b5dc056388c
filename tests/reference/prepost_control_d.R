# Difference of mean gains over the pooled first SD; the delta method written out as the variance of a ratio.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
J <- function(m) exp(lgamma(m / 2) - lgamma((m - 1) / 2)) / sqrt(m / 2)
pre <- c(10,12,9,14,11,13,10,12,8,9,12,11,14,15,12,13,10,9,11,12,12,11,13,10,13,15,14,12,9,8,10,11)
post <- c(15,18,14,19,13,15,13,14,12,13,16,16,17,17,14,16,16,13,16,18,13,13,16,12,20,21,19,18,11,9,12,12); trt <- rep(c(1, 0), 4, each = 4)
pool <- function(x) sqrt((15 * var(x[trt == 1]) + 15 * var(x[trt == 0])) / 30)
gain <- post - pre; s <- pool(pre); num <- mean(gain[trt == 1]) - mean(gain[trt == 0]); d <- num / s
v <- (var(gain[trt == 1]) / 15 + var(gain[trt == 0]) / 15) / s^2 + num^2 / s^4 * s^2 / (2 * 30)  # var(s) = s^2 / (2 df)
say("eight_choirs", value = J(30) * d, low = d - qnorm(.975) * sqrt(v), high = d + qnorm(.975) * sqrt(v), n = 32)
