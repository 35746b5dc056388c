# Hedges' size for clustered students (Hedges 2007, from memory), written out in base R.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
one <- function(case, g, n1, n2, M, rho) {
  N <- n1 + n2; m <- N / M
  gamma <- 1 - 2 * (m - 1) * rho / (N - 2); eta <- 1 + (m - 1) * rho
  h <- ((N - 2) - 2 * (m - 1) * rho)^2 / ((N - 2) * (1 - rho)^2 + m * (N - 2 * m) * rho^2 + 2 * (N - 2 * m) * rho * (1 - rho))
  d <- g * sqrt(gamma); se <- sqrt(eta * (1 / n1 + 1 / n2) + d^2 / (2 * h)); df <- min(h, M - 2)
  say(case, value = d, low = d - qt(.975, df) * se, high = d + qt(.975, df) * se, n = N, df = df, p = 2 * pt(-abs(d) / se, df))
}
one("r_twenty_choirs", .30, 200, 200, 20, .20)
one("r_six_choirs", .50, 66, 54, 6, .10)
