# Intraclass correlations with their limits: package psych 2.2.9, ICC.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
sf <- matrix(c(9,2,5,8, 6,1,3,2, 8,4,6,8, 7,1,2,6, 10,5,6,9, 6,2,4,7), ncol = 4, byrow = TRUE)
for (data in list(list('shrout_fleiss', sf), list('attitude', as.matrix(attitude)))) {
  r <- suppressWarnings(psych::ICC(data[[2]], lmer = FALSE))$results
  x <- r[r$type == 'ICC2', ]; say(paste0(data[[1]], '_agreement_random'), value = x$ICC, low = x[['lower bound']], high = x[['upper bound']], n = nrow(data[[2]]))
  x <- r[r$type == 'ICC3', ]; say(paste0(data[[1]], '_consistency_fixed'), value = x$ICC, low = x[['lower bound']], high = x[['upper bound']], n = nrow(data[[2]]))
  x <- r[r$type == 'ICC1', ]; say(paste0(data[[1]], '_one_way_random'), value = x$ICC, low = x[['lower bound']], high = x[['upper bound']], n = nrow(data[[2]]))
}
