# Korn and Graubard's interval: package survey, svyciprop(method = "beta").
suppressMessages(library(survey))
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
one <- function(case, hits, sizes) {
  d <- data.frame(g = rep(seq_along(sizes), sizes), x = unlist(mapply(function(h, s) rep(1:0, c(h, s - h)), hits, sizes, SIMPLIFY = FALSE)))
  s <- svydesign(ids = ~g, data = d, weights = ~rep(1, nrow(d)))
  p <- svyciprop(~x, s, method = "beta")
  ci <- attr(p, "ci")
  say(case, value = coef(p)[[1]], low = ci[[1]], high = ci[[2]], n = nrow(d), df = degf(s))
}
one("six_choirs", c(12, 9, 20, 5, 16, 11), c(20, 18, 25, 15, 22, 24))
one("four_unlike_choirs", c(18, 2, 15, 6), c(20, 20, 16, 30))
