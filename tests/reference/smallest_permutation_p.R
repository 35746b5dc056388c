# Every way to assign choirs, listed by base R's combn and expand.grid; the p of the most extreme difference of means.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
smallest <- function(schools) {
  sets <- lapply(schools, function(s) combn(sum(s), s[1], simplify = FALSE))
  score <- exp(seq_len(sum(unlist(schools))) * 1.7)   # far apart, so that no two ways are alike but by mirroring
  first <- cumsum(c(0, head(sapply(schools, sum), -1)))
  at <- expand.grid(lapply(sets, seq_along))
  stat <- apply(at, 1, function(row) {
    apart <- 0
    for (s in seq_along(sets)) {
      own <- first[s] + seq_len(sum(schools[[s]])); chosen <- first[s] + sets[[s]][[row[s]]]
      apart <- apart + mean(score[chosen]) - mean(score[setdiff(own, chosen)])
    }
    abs(apart)
  })
  mean(stat >= max(stat) * (1 - 1e-12))
}
cases <- list("4v4" = list(c(4, 4)), "1v5" = list(c(1, 5)), "2v6" = list(c(2, 6)), "5 pairs" = rep(list(c(1, 1)), 5),
              "three schools" = list(c(2, 2), c(1, 1), c(2, 1)))
for (case in names(cases)) say(gsub(" ", "_", case), value = smallest(cases[[case]]), n = sum(unlist(cases[[case]])))
dates <- expand.grid(1:3, 1:3, 1:3); orders <- dates[apply(dates, 1, function(d) length(unique(d)) == 3), ]
say("three_dates", value = 1 / nrow(orders), n = 3)
