# Base R: percentile ranks and their inverse written out score by score; students redrawn 20,000 times within groups.
say <- function(case, ...) { parts <- list(...); for (part in names(parts)) cat(sprintf("%s %s %.15g\n", case, part, parts[[part]])) }
rank_of <- function(s, v) mean(v < s) + mean(v == s) / 2
score_at <- function(p, v) { s <- sort(unique(v)); heap <- round(cumsum(tabulate(match(v, s))) / length(v), 12); p <- round(p, 12); start <- c(0, heap)[seq_along(s)]
  up <- which(heap > p)[1]; down <- tail(which(start < p), 1); mean(c(s[up] - .5 + (p - start[up]) / (heap[up] - start[up]), s[down] - .5 + (p - start[down]) / (heap[down] - start[down]))) }
move <- function(x, y) { s <- unique(x); e <- sapply(s, function(one) score_at(rank_of(one, x), y)); mean((e - s)[match(x, s)]) }
x <- attitude$rating; y <- attitude$complaints; set.seed(1)
drawn <- replicate(20000, move(sample(x, 30, TRUE), sample(y, 30, TRUE)))
say("attitude", value = move(x, y), low = quantile(drawn, .025), high = quantile(drawn, .975), n = 60)
