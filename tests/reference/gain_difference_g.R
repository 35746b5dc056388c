# Second g less first g; the correlation within groups from the residuals of two linear models.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
J <- function(m) exp(lgamma(m / 2) - lgamma((m - 1) / 2)) / sqrt(m / 2)
pre <- c(10,12,9,14,11,13,10,12,8,9,12,11,14,15,12,13,10,9,11,12,12,11,13,10,13,15,14,12,9,8,10,11)
post <- c(15,18,14,19,13,15,13,14,12,13,16,16,17,17,14,16,16,13,16,18,13,13,16,12,20,21,19,18,11,9,12,12); trt <- rep(c(1, 0), 4, each = 4)
pool <- function(x) sqrt((15 * var(x[trt == 1]) + 15 * var(x[trt == 0])) / 30)
g <- function(x) J(30) * (mean(x[trt == 1]) - mean(x[trt == 0])) / pool(x)
r <- cor(resid(lm(pre ~ trt)), resid(lm(post ~ trt))); a <- g(pre); b <- g(post)
se <- sqrt(2 * (1 - r) * (1 / 16 + 1 / 16) + (b^2 + r^2 * a^2 - 2 * r^2 * a * b) / 60)
say("eight_choirs", value = b - a, low = b - a - qt(.975, 30) * se, high = b - a + qt(.975, 30) * se, n = 32, df = 30, p = 2 * pt(-abs((b - a) / se), 30))
