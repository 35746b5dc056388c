# committee.R: the key numbers of the report beside this file, computed again in R.
#
# How to run it:  Rscript committee.R        or, in R, in the folder of the report:  source("committee.R")
# What it needs:  R 4 or later, nothing else. Where the packages clubSandwich (CR2), nlme and lmerTest (mixed model) are
#                 installed, they are asked too, and must say the same.
# What it does:   it reads the tables beside it, computes each number with formulas written out below, prints the
#                 number of the report beside that of R, and stops with an error if any two of them differ. Where
#                 the report went through all signs or all ways to deal out, so does R, and the numbers must be the
#                 same; where the report drew at random, R draws too, and "drawn" stands behind the number: both must
#                 lie within five standard errors of drawing, counted from the draws of both.
#
# Its tables:
#   committee_numbers.csv    the numbers of the report with all digits, each with its label in numbers.csv
#   committee_settings.csv   how they were computed: model, what counts as one, whether schools are held apart, level,
#                            how many draws a number rests on, what an original study printed
#   committee_choirs.csv     number of students, means, standard deviations and correlation of each choir
#   committee_students.csv   both marks of each student under a running number; only in a copy for the school itself
#   committee_melodies.csv   for each test the covariance of every two melodies
# A copy that leaves the school has no students and, where a choir is small, no choirs either; then the numbers that
# need them are listed at the end with the reason, and are not computed.

TOLERANCE <- 1e-7        # of the size of the number: far below anything that is printed
LISTED_UP_TO <- 200000   # ways to deal out the approaches up to which every one is looked at
DRAWS <- 9999            # else so many are drawn
REFITTED <- 1999         # drawings of the mixed model that are fitted again
SEED <- 1                # so that every run prints the same
FITTED <- 1e-6           # of the size of the number: as near as the report searches for the best fit of a mixed model
FREE <- 1e-3             # of their size, for its degrees of freedom, which turn most on where that search stops
SEARCHED <- 1e-3         # of the size of the number: as near as packages search for that fit

# ---- reading -----------------------------------------------------------------------------------------------------
here <- sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE))
if (!file.exists("committee_numbers.csv") && length(here) == 1) setwd(dirname(here))
table_of <- function(name) {
  if (!file.exists(name)) return(NULL)
  found <- read.csv(name, fileEncoding = "UTF-8", na.strings = "", stringsAsFactors = FALSE)
  if ("school" %in% names(found)) found$school <- ifelse(is.na(found$school), "", found$school)
  found
}
numbers  <- table_of("committee_numbers.csv")
settings <- table_of("committee_settings.csv")
students <- table_of("committee_students.csv")
choirs   <- table_of("committee_choirs.csv")
melodies <- table_of("committee_melodies.csv")
setting <- function(name) settings$value[settings$setting == name]
number  <- function(name) as.numeric(setting(name))
# how many draws a number of the report rests on; none where it went through all there are
draws_of <- function(name) {
  told <- setting(paste("draws:", name))
  if (length(told) == 0 || told == "all") NULL else as.numeric(told)
}

# ---- comparing ---------------------------------------------------------------------------------------------------
checked <- character(0)
differ  <- character(0)
drawn   <- character(0)
# fits: a function of our number that says whether it fits that of R, where both were drawn
check <- function(name, part, r, allowed = TOLERANCE, fits = NULL) {
  row <- which(numbers$number == name & numbers$part == part)
  # the report does not print it, or this copy does not hold what it needs: nothing to compare
  if (length(row) == 0 || !is.na(numbers$why_not[row])) return(invisible())
  ours <- as.numeric(numbers$ours[row])
  apart <- if (isTRUE(ours == r)) 0 else abs(ours - r)           # two ends without limit are the same, too
  same <- isTRUE(if (is.null(fits)) apart <= allowed * max(1, min(abs(ours), abs(r))) else fits(ours))
  cat(sprintf("%-34s %-6s %15.8f %15.8f %12.2e  %s%s\n", name, part, ours, r, apart,
              if (is.null(fits)) "" else "drawn ", if (same) "" else "DIFFERS"))
  checked <<- c(checked, paste(name, part))
  if (!is.null(fits)) drawn <<- c(drawn, paste(name, part))
  if (!same) differ <<- c(differ, paste(name, part))
}
printed <- function(name) any(numbers$number == name)
ours_of <- function(name, part) as.numeric(numbers$ours[numbers$number == name & numbers$part == part])
check_all <- function(name, found, ...) for (part in names(found)) check(name, part, found[[part]], ...)
# five standard errors of the difference of two shares p, one from the draws of the report and one from those here
by_chance <- function(p, draws, here = DRAWS) 5 * sqrt(p * (1 - p) * (1 / draws + 1 / here))
# two shares drawn: the bound is that of the middle between them
alike_p <- function(r, ...) function(ours) abs(ours - r) <= by_chance((ours + r) / 2, ...)

# ---- formulas ----------------------------------------------------------------------------------------------------
# A choir's mean, standard deviation and correlation are enough for every regression below and for its CR2 standard
# error: they use students of a choir through sums, squares and products only. So where a copy has no students, each
# choir is filled with stand-ins that have exactly its means, standard deviations and correlation.
stand_ins <- function(choir) {
  n <- choir$students
  one   <- as.numeric(scale(1:n))                                # mean 0, SD 1
  two   <- as.numeric(scale(residuals(lm((1:n)^2 ~ one))))       # the same, and uncorrelated with the first
  r <- choir$correlation
  data.frame(choir = choir$choir, school = choir$school, program = choir$program,
             first  = choir$mean_first  + choir$sd_first  * one,
             second = choir$mean_second + choir$sd_second * (r * one + sqrt(1 - r^2) * two))
}

# Least squares with an ordinary standard error and Student's t, for the coefficient in column `which`.
ordinary <- function(y, X, which = 2) {
  df <- length(y) - ncol(X)
  X <- independent(X)
  b <- solve(crossprod(X), crossprod(X, y))
  rest <- y - X %*% b
  with_t(b[which], sqrt(sum(rest^2) / df * solve(crossprod(X))[which, which]), df)
}
# A first test that is the same for everybody tells nothing beside the column of ones.
independent <- function(X) X[, sort(qr(X)$pivot[seq_len(qr(X)$rank)]), drop = FALSE]
with_t <- function(value, error, df) {
  reach <- qt(1 - (1 - number("level")) / 2, df) * error
  list(value = value, low = value - reach, high = value + reach, df = df, p = 2 * pt(-abs(value) / error, df))
}

# Least squares with the CR2 standard error and Satterthwaite's degrees of freedom (Pustejovsky and Tipton 2018).
# In each choir g the residuals are stretched by A = (I - X_g M X_g')^(-1/2), with M = (X'X)^-1; the variance is the
# sum over choirs of the squared stretched scores; the degrees of freedom match its mean and spread for independent
# students of one variance.
cr2 <- function(y, X, choir, which = 2) {
  if (qr(X)$rank < ncol(X)) return(list())                        # the report gives no such number either
  M <- solve(crossprod(X))
  b <- M %*% crossprod(X, y)
  rest <- as.numeric(y - X %*% b)
  hat <- X %*% M %*% t(X)
  pulls <- sapply(split(seq_along(y), choir), function(at) {
    parts <- eigen(diag(length(at)) - hat[at, at, drop = FALSE], symmetric = TRUE)
    kept <- parts$values > 1e-10
    V <- parts$vectors[, kept, drop = FALSE]
    A <- V %*% (t(V) / sqrt(parts$values[kept]))
    weights <- numeric(length(y))
    weights[at] <- A %*% X[at, , drop = FALSE] %*% M[, which]
    weights
  })
  variance <- sum(crossprod(pulls, rest)^2)
  spread <- crossprod(pulls - hat %*% pulls)                     # (I - H) is symmetric and its own square
  with_t(b[which], sqrt(variance), sum(diag(spread))^2 / sum(spread^2))
}

# The same where each student stands alone, without a matrix for each.
each_alone <- function(y, X, which = 2) {
  if (qr(X)$rank < ncol(X)) return(list())
  M <- solve(crossprod(X))
  b <- M %*% crossprod(X, y)
  rest <- as.numeric(y - X %*% b)
  left <- 1 - rowSums((X %*% M) * X)                             # a residual's share of its student's spread
  pull <- ifelse(left > 1e-10, as.numeric(X %*% M[, which]) / sqrt(pmax(left, 1e-10)), 0)
  # the spread of the weights is pull_i pull_j times (I - H)_ij: its diagonal, and all its squares
  squares <- crossprod(X * pull)
  all_squares <- sum(pull^4 * (1 - 2 * (1 - left))) + sum((M %*% squares) * t(M %*% squares))
  with_t(b[which], sqrt(sum((pull * rest)^2)), sum(pull^2 * left)^2 / all_squares)
}

# The mixed model in which each choir has a level of its own, by restricted maximum likelihood. It uses students of a
# choir through sums, squares and products, too. With lambda the variance between choirs over that inside them, a choir
# of n students takes w s s' off the squares and products C of the columns (X, y), where s are its sums of the columns
# and w = lambda / (1 + n lambda). What is left gives, as in least squares, the weights b, the residual sum of squares
# and minus twice the log-likelihood, whose smallest value is looked for; primes below are derivatives by lambda.
sums_of <- function(y, X, choir) {
  Z <- cbind(X, y)
  sums <- rowsum(Z, choir)
  list(C = crossprod(Z), sums = sums, n = as.numeric(table(choir)[rownames(sums)]), N = nrow(X), p = ncol(X))
}
fit_at <- function(lambda, parts, which = 2) {
  n <- parts$n
  taken <- function(w) crossprod(parts$sums, parts$sums * w)
  C  <- parts$C - taken(lambda / (1 + n * lambda))
  C1 <- -taken(1 / (1 + n * lambda)^2)                                    # C'
  C2 <- taken(2 * n / (1 + n * lambda)^3)                                 # C''
  at <- seq_len(parts$p)
  free <- parts$N - parts$p
  M <- solve(C[at, at])
  b <- as.numeric(M %*% C[at, parts$p + 1])
  v <- c(-b, 1)
  rest  <- sum(v * (C %*% v))
  rest1 <- sum(v * (C1 %*% v))
  turned <- (C1 %*% v)[at]
  rest2 <- sum(v * (C2 %*% v)) - 2 * sum(turned * (M %*% turned))
  MA1 <- M %*% C1[at, at]
  list(
    b = b, M = M, variance = rest / free, error = sqrt(rest / free * M[which, which]),
    deviance = sum(log(1 + n * lambda)) + log(det(C[at, at])) + free * (1 + log(2 * pi * rest / free)),
    slope = sum(n / (1 + n * lambda)) + sum(diag(MA1)) + free * rest1 / rest,
    curve = -sum((n / (1 + n * lambda))^2) + sum(diag(M %*% C2[at, at])) - sum(MA1 * t(MA1)) +
      free * (rest2 / rest - (rest1 / rest)^2),
    turn = rest1 / rest - (MA1 %*% M)[which, which] / M[which, which])   # of the logarithm of the error's square
}
# The best lambda: zero, or where the slope turns from below zero to above, found to the last digits.
best_lambda <- function(parts) {
  tried <- c(0, 10^seq(-7, 7, by = 0.1))
  slopes <- sapply(tried, function(lambda) fit_at(lambda, parts)$slope)
  turns <- which(head(slopes, -1) < 0 & tail(slopes, -1) >= 0)
  found <- c(if (slopes[1] >= 0) 0, vapply(turns, function(at) {
    uniroot(function(lambda) fit_at(lambda, parts)$slope, tried[at + 0:1], tol = 1e-15)$root
  }, numeric(1)))
  if (length(found) == 0) found <- max(tried)
  found[which.min(sapply(found, function(lambda) fit_at(lambda, parts)$deviance))]
}
# Satterthwaite's degrees of freedom; a spread of zero between choirs counts as known to be there.
mixed <- function(y, X, choir, which = 2) {
  if (qr(X)$rank < ncol(X)) return(NULL)
  parts <- sums_of(y, X, choir)
  lambda <- best_lambda(parts)
  fit <- fit_at(lambda, parts, which)
  df <- 1 / (1 / (parts$N - parts$p) + if (lambda > 0) fit$turn^2 / fit$curve else 0)
  c(with_t(fit$b[which], fit$error, df), list(fit = fit, lambda = lambda, parts = parts))
}
# Scores drawn from that fit without a difference, each drawing fitted again, and how far its weight lies from zero in
# standard errors of its own. All drawings are fitted at one lambda after another; each keeps the best.
drawn_anew <- function(found, X, choir, which = 2) {
  parts <- found$parts
  groups <- factor(choir, levels = rownames(parts$sums))
  at <- seq_len(parts$p)
  own <- parts$sums[, at, drop = FALSE]
  free <- parts$N - parts$p
  share <- c(seq(0, 0.998, by = 0.002), 1 - 10^-(3:6))
  off <- numeric(0)
  while (length(off) < REFITTED) {
    count <- min(1000, REFITTED - length(off))
    levels <- matrix(rnorm(nlevels(groups) * count), nlevels(groups))
    Y <- sqrt(found$fit$variance) *
      (sqrt(found$lambda) * levels[as.integer(groups), , drop = FALSE] + matrix(rnorm(parts$N * count), parts$N))
    XY <- crossprod(X, Y)
    YY <- colSums(Y^2)
    sums <- rowsum(Y, as.integer(groups))
    best <- rep(Inf, count)
    t_of <- numeric(count)
    for (lambda in share / (1 - share) / mean(parts$n)) {
      w <- lambda / (1 + parts$n * lambda)
      A <- parts$C[at, at] - crossprod(own, own * w)
      M <- solve(A)
      seen <- XY - crossprod(own * w, sums)
      b <- M %*% seen
      rest <- YY - colSums(sums^2 * w) - colSums(seen * b)
      deviance <- sum(log(1 + parts$n * lambda)) + log(det(A)) + free * log(rest)
      nearer <- deviance < best
      best[nearer] <- deviance[nearer]
      t_of[nearer] <- (b[which, ] / sqrt(rest / free * M[which, which]))[nearer]
    }
    off <- c(off, abs(t_of))
  }
  sort(off)
}

# The wild bootstrap of choirs, restricted: to test a weight, the other predictors alone are fitted to what the weight
# leaves, each choir's residuals are multiplied by one number, and the t of these new scores is compared with the real
# one. V holds these numbers, one row for a draw: all signs (one choir's sign stays, since turning all of them round
# changes nothing), or drawn signs, or Webb's six numbers where there are few choirs. Both t have the same choir-robust
# standard error, so no correction of it matters.
FEW <- 12
weights_of <- function(groups, draws) {
  if (is.null(draws)) return(cbind(1, as.matrix(expand.grid(rep(list(c(-1, 1)), groups - 1)))))
  among <- if (groups <= FEW) c(-1, 1) %o% sqrt(c(0.5, 1, 1.5)) else c(-1, 1)
  matrix(sample(as.numeric(among), DRAWS * groups, replace = TRUE), DRAWS)
}
wild <- function(y, X, choir, draws, which = 2) {
  if (qr(X)$rank < ncol(X)) return(list())
  M <- solve(crossprod(X))
  asked <- M[, which]
  Z <- X[, -which, drop = FALSE]
  places <- split(seq_along(y), choir)
  of_choirs <- function(rest) t(sapply(places, function(at) crossprod(X[at, , drop = FALSE], rest[at])))
  through <- t(sapply(places, function(at) asked %*% crossprod(X[at, , drop = FALSE]) %*% M))
  V <- weights_of(length(places), draws)
  value <- sum(asked * crossprod(X, y))
  error <- sqrt(sum((of_choirs(as.numeric(y - X %*% (M %*% crossprod(X, y)))) %*% asked)^2))
  left <- y - Z %*% solve(crossprod(Z), crossprod(Z, y))
  left_1 <- X[, which] - Z %*% solve(crossprod(Z), crossprod(Z, X[, which]))
  scores <- of_choirs(left)
  scores_1 <- of_choirs(left_1)
  p_of <- function(weight) {
    U <- scores - weight * scores_1
    new <- V %*% U                                               # the scores of each draw
    own <- sweep(V, 2, U %*% asked, "*") - new %*% t(through)    # what is left of each choir's part of the weight
    farther <- as.numeric(new %*% asked)^2 >= ((1 - 1e-9) * (weight - value) / error)^2 * rowSums(own^2)
    if (is.null(draws)) mean(farther) else (sum(farther) + 1) / (DRAWS + 1)
  }
  # an end: away from the value in steps that double, then halving, to where p falls to 1 - level
  end <- function(side) {
    inside <- 0
    step <- 1
    while (p_of(value + side * step * error) > 1 - number("level")) {
      inside <- step
      step <- 2 * step
      if (step > 1000) return(side * Inf)
    }
    for (halving in 1:30) {
      middle <- (inside + step) / 2
      if (p_of(value + side * middle * error) > 1 - number("level")) inside <- middle else step <- middle
    }
    value + side * step * error
  }
  list(value = value, low = end(-1), high = end(1), p = p_of(0), p_of = p_of, far = 1000 * error)
}

# Every way to deal the program out to as many choirs as had it, within schools where they were dealt out there.
all_ways <- function(program, school) {
  ways <- matrix(FALSE, 1, length(program))
  for (at in split(seq_along(program), school)) {
    here <- t(matrix(combn(length(at), sum(program[at]), function(chosen) seq_along(at) %in% chosen), length(at)))
    old <- ways[rep(seq_len(nrow(ways)), each = nrow(here)), , drop = FALSE]
    old[, at] <- here[rep(seq_len(nrow(here)), nrow(ways)), ]
    ways <- old
  }
  ways
}
some_ways <- function(program, school) {
  t(replicate(DRAWS, { drawn <- program
    for (at in split(seq_along(program), school)) drawn[at] <- program[at][sample.int(length(at))]
    drawn }))
}

# Hedges' g of students who come in choirs, with its interval (Hedges 2007); icc is the one-way intraclass
# correlation at the second test within approaches, taken from mean squares and cut at 0 and 0.999.
exact_j <- function(df) exp(lgamma(df / 2) - lgamma((df - 1) / 2)) * sqrt(2 / df)
likeness <- function(y, cell, arm) {
  n <- tapply(y, cell, length)
  means <- tapply(y, cell, mean)
  arm_of <- tapply(arm, cell, function(one) one[1])
  arm_n <- tapply(y, arm, length)[as.character(arm_of)]
  arm_means <- tapply(y, arm, mean)[as.character(arm_of)]
  groups <- length(n)
  arms <- length(unique(arm))
  between <- sum(n * (means - arm_means)^2) / (groups - arms)
  within <- sum((y - means[as.character(cell)])^2) / (length(y) - groups)
  size <- (length(y) - sum(n^2 / arm_n)) / (groups - arms)
  if (within == 0) return(1)
  (between - within) / (between + (size - 1) * within)
}
size_in_sd <- function(difference, d) {
  if (is.null(difference)) return(list())
  n <- c(sum(d$program == 1), sum(d$program == 0))
  spread <- sqrt(((n[1] - 1) * var(d$second[d$program == 1]) + (n[2] - 1) * var(d$second[d$program == 0])) /
                 (sum(n) - 2))
  N <- sum(n)
  M <- length(unique(d$choir))
  m <- N / M
  icc <- min(max(likeness(d$second, paste(d$choir, d$program), d$program), 0), 0.999)
  a <- N - 2 - 2 * (m - 1) * icc
  h <- a^2 / ((N - 2) * (1 - icc)^2 + m * (N - 2 * m) * icc^2 + 2 * (N - 2 * m) * icc * (1 - icc))
  g <- difference / spread * exact_j(N - 2) * sqrt(a / (N - 2))
  error <- sqrt((1 + (m - 1) * icc) * (1 / n[1] + 1 / n[2]) + g^2 / (2 * h))
  c(with_t(g, error, min(h, M - 2)), list(error = error))
}

# Cronbach's alpha from the covariances of k melodies.
alpha_of <- function(covariances) {
  k <- nrow(covariances)
  k / (k - 1) * (1 - sum(diag(covariances)) / sum(covariances))
}

# The size of the original study and its standard error, from what it printed (Borenstein and others 2009).
original_size <- function() {
  if (setting("original") == "as given") return(list(value = number("original_value"), error = number("original_error")))
  n <- c(number("n_program"), number("n_comparison"))
  if (length(number("t")) == 1) {
    d <- number("t") * sqrt(sum(1 / n))
  } else {
    s <- c(number("sd_program"), number("sd_comparison"))
    d <- (number("mean_program") - number("mean_comparison")) / sqrt(sum((n - 1) * s^2) / (sum(n) - 2))
  }
  j <- exact_j(sum(n) - 2)
  list(value = j * d, error = j * sqrt(sum(1 / n) + d^2 / (2 * sum(n))))
}

# ---- the comparison ----------------------------------------------------------------------------------------------
# X holds a column of ones, the program (1 or 0), where the first test is adjusted for the first mark and, where schools
# are held apart, a mark of each school but one.
apart <- setting("schools") == "held apart"
marks_of <- function(school) outer(school, sort(unique(school))[-1], "==") + 0
predictors <- function(d, model, schools = apart) {
  cbind(1, d$program, if (model == "adjusted") d$first, if (schools) marks_of(d$school))
}
outcome    <- function(d, model) if (model == "adjusted") d$second else d$second - d$first
averages <- function(d) {
  each <- aggregate(cbind(program, first, second) ~ choir, d, mean)
  each$school <- d$school[match(each$choir, d$choir)]
  each
}
by_method <- function(d, model) switch(setting("method"),
  "choir means"        = { each <- averages(d); ordinary(outcome(each, model), predictors(each, model)) },
  "students in choirs" = cr2(outcome(d, model), predictors(d, model), d$choir),
  "students"           = each_alone(outcome(d, model), predictors(d, model)))

shuffled <- function(d, model) {
  each <- averages(d)
  program <- each$program == 1
  statistic <- function(ways) {
    known <- independent(predictors(each, model)[, -2, drop = FALSE])
    left <- ways %*% (diag(nrow(each)) - known %*% solve(crossprod(known), t(known)))
    # the program, less what the first test and schools tell of it
    as.numeric(left %*% outcome(each, model)) / rowSums(left^2)
  }
  count <- prod(tapply(program, each$school, function(one) choose(length(one), sum(one))))
  listed <- count <= LISTED_UP_TO
  found <- abs(statistic(if (listed) all_ways(program, each$school) else some_ways(program, each$school)))
  seen <- abs(statistic(matrix(program, 1)))
  reached <- sum(found >= seen - 1e-9 * max(found, seen))
  p <- if (listed) reached / length(found) else (reached + 1) / (DRAWS + 1)
  list(value = statistic(matrix(program, 1)), p = p)
}
check_shuffled <- function(name, found) {
  draws <- draws_of(name)
  check(name, "value", found$value)
  check(name, "p", found$p, fits = if (!is.null(draws)) alike_p(found$p, draws))
}

compare <- function(d) {
  model <- setting("model")
  main <- by_method(d, model)
  check_all("difference", main)
  check_all("difference by gains", by_method(d, "gain"))
  check_all("difference adjusted", by_method(d, "adjusted"))
  if (printed("choirs shuffled") || printed("choirs shuffled, among the ways")) {
    dealt <- shuffled(d, model)
    check_shuffled("choirs shuffled", dealt)
    check_shuffled("choirs shuffled, among the ways", dealt)
  }
  for (schools in c(FALSE, TRUE)) {
    held <- if (schools) ", schools held apart" else ""
    way <- paste0("choir means", held)
    if (printed(way)) {
      each <- averages(d)
      check_all(way, ordinary(outcome(each, model), predictors(each, model, schools)))
    }
    way <- paste0(if (schools) "the same" else "students, choirs known", held)
    if (printed(way)) {
      check_all(way, cr2(outcome(d, model), predictors(d, model, schools), d$choir))
      other_cr2(d, model, way, schools)
    }
  }
  if (printed("mixed model of choirs")) compare_mixed(d, model)
  if (printed("wild bootstrap of choirs")) compare_wild(d, model)
  if (printed("choirs ignored (a warning)")) {
    check_all("choirs ignored (a warning)", each_alone(outcome(d, model), predictors(d, model, FALSE)))
  }
  size <- size_in_sd(main$value, d)
  check_all("size in SD", size[names(size) != "error"])
  size
}

compare_mixed <- function(d, model) {
  y <- outcome(d, model)
  X <- predictors(d, model, FALSE)
  found <- mixed(y, X, d$choir)
  if (is.null(found)) return(invisible())
  name <- "mixed model of choirs"
  check(name, "df", found$df, allowed = FREE)
  # the ends and p follow from the standard error, compared strictly, and from those degrees of freedom, just compared
  ours <- ours_of(name, "df")
  near <- isTRUE(abs(ours - found$df) <= FREE * max(1, found$df))
  again <- with_t(found$value, found$fit$error, if (near) ours else found$df)
  check_all(name, again[c("value", "low", "high", "p")], allowed = FITTED)
  cat(sprintf("  (variance between choirs %.6f, inside them %.6f; restricted log-likelihood %.6f)\n",
              found$lambda * found$fit$variance, found$fit$variance, -found$fit$deviance / 2))
  other_mixed(d, model, found)
  name <- "mixed model, drawn anew"
  if (!printed(name)) return(invisible())
  off <- drawn_anew(found, X, d$choir)
  draws <- draws_of(name)
  level <- number("level")
  p <- (1 + sum(off >= abs(found$value) / found$fit$error)) / (REFITTED + 1)
  # an end of ours must lie between the ends that R would give at levels as far apart as chance allows
  reach <- function(level) if (level >= 1) Inf else found$fit$error * off[max(1, ceiling((REFITTED + 1) * level))]
  between <- c(reach(level - by_chance(level, draws, REFITTED)), reach(level + by_chance(level, draws, REFITTED)))
  inside <- function(ours) abs(ours - found$value) >= between[1] && abs(ours - found$value) <= between[2]
  check(name, "value", found$value, allowed = FITTED)
  check(name, "low", found$value - reach(level), fits = function(ours) ours < found$value && inside(ours))
  check(name, "high", found$value + reach(level), fits = function(ours) ours > found$value && inside(ours))
  check(name, "p", p, fits = alike_p(p, draws, REFITTED))
}

# The same from packages that others wrote, where they are installed. They look for the best fit step by step and stop
# near it. nlme counts degrees of freedom by another rule, so its standard error is taken with those found above. Those
# of lmerTest are compared to two digits, and only where choirs are clearly apart: next to no spread between choirs they
# turn on where exactly the search stopped.
other_mixed <- function(d, model, found) {
  d$y <- outcome(d, model)
  terms <- reformulate(c("program", if (model == "adjusted") "first"), "y")
  told <- function(package, ask) {
    if (!suppressMessages(requireNamespace(package, quietly = TRUE))) {
      cat(sprintf("  (the package %s is not installed: the mixed model above is base R alone)\n", package))
      return(invisible())
    }
    answer <- tryCatch(suppressWarnings(suppressMessages(ask())), error = function(problem) NULL)
    if (is.null(answer)) return(cat(sprintf("  (%s finds no best fit here)\n", package)))
    cat(sprintf("  the same by %s:\n", package))
    if (!is.null(answer$df)) check("mixed model of choirs", "df", answer$df, allowed = 10 * SEARCHED)
    ends <- with_t(answer$value, answer$error, found$df)
    check_all("mixed model of choirs", ends[c("value", "low", "high")], allowed = SEARCHED)
  }
  told("nlme", function() {
    row <- summary(nlme::lme(terms, data = d, random = ~ 1 | choir, method = "REML"))$tTable["program", ]
    list(value = row[["Value"]], error = row[["Std.Error"]])
  })
  told("lmerTest", function() {
    fit <- lmerTest::lmer(update(terms, . ~ . + (1 | choir)), data = d, REML = TRUE)
    row <- summary(fit)$coefficients["program", ]
    list(value = row[["Estimate"]], error = row[["Std. Error"]], df = if (found$lambda > 0.01) row[["df"]])
  })
}

compare_wild <- function(d, model) {
  name <- "wild bootstrap of choirs"
  draws <- draws_of(name)
  found <- wild(outcome(d, model), predictors(d, model, FALSE), d$choir, draws)
  check(name, "value", found$value)
  if (is.null(draws)) return(check_all(name, found[c("low", "high", "p")]))
  # at an end of ours the p of R must be 1 - level, as near as chance allows; without a limit it must not be below
  level <- number("level")
  near <- by_chance(level, draws)
  at_end <- function(side) function(ours) {
    if (side * ours < side * found$value) return(FALSE)
    if (is.infinite(ours)) return(found$p_of(found$value + side * found$far) > 1 - level - near)
    abs(found$p_of(ours) - (1 - level)) <= near
  }
  check(name, "low", found$low, fits = at_end(-1))
  check(name, "high", found$high, fits = at_end(1))
  check(name, "p", found$p, fits = alike_p(found$p, draws))
}

# The same from a package that others wrote, where it is installed.
other_cr2 <- function(d, model, way, schools) {
  if (!suppressMessages(requireNamespace("clubSandwich", quietly = TRUE))) {
    cat("  (the package clubSandwich is not installed: CR2 above is base R alone)\n")
    return(invisible())
  }
  d$y <- outcome(d, model)
  if (schools) d$school <- factor(d$school)
  terms <- c("program", if (model == "adjusted") "first", if (schools && nlevels(d$school) > 1) "school")
  fit <- lm(reformulate(terms, "y"), d)
  found <- clubSandwich::conf_int(fit, vcov = "CR2", cluster = d$choir, level = number("level"), p_values = TRUE)[2, ]
  cat("  the same by clubSandwich:\n")
  check_all(way,
            list(value = found$beta, low = found$CI_L, high = found$CI_U, df = found$df, p = found$p_val))
}

repeated <- function(size) {
  original <- original_size()
  z <- qnorm(1 - (1 - number("level")) / 2)
  # half the interval over its quantile, as the report has it: Student's t with the size's degrees of freedom
  error <- (size$high - size$low) / 2 / qt(1 - (1 - number("level")) / 2, size$df)
  together <- sqrt(original$error^2 + error^2)
  check("original", "value", original$value)
  check_all("prediction for ours", list(low = original$value - z * together, high = original$value + z * together))
  apart <- size$value - original$value
  check_all("ours less original", list(value = apart, low = apart - z * together, high = apart + z * together,
                                       p = 2 * pnorm(-abs(apart) / together)))
  check("ours over original", "value", size$value / original$value)
}

# ---- the run -----------------------------------------------------------------------------------------------------
set.seed(SEED)
cat(sprintf("%-34s %-6s %15s %15s %12s\n", "number", "part", "report", "R", "apart"))
marks <- students
if (is.null(marks) && !is.null(choirs)) marks <- do.call(rbind, lapply(split(choirs, seq_len(nrow(choirs))), stand_ins))
if (!is.null(students) && !is.null(choirs)) {
  # where a copy has both, the table of choirs must follow from the students
  means <- aggregate(cbind(first, second) ~ choir + program, students, mean)
  at <- match(paste(choirs$choir, choirs$program), paste(means$choir, means$program))
  stopifnot(isTRUE(all.equal(choirs$mean_first, means$first[at])), isTRUE(all.equal(choirs$mean_second, means$second[at])))
}
if (!is.null(marks)) {
  size <- compare(marks)
  if (length(setting("original")) == 1) repeated(size)
} else if (length(setting("original")) == 1) {
  check("original", "value", original_size()$value)
}
for (test in unique(melodies$test)) {
  rows <- melodies[melodies$test == test, ]
  check(paste("alpha:", test), "value", alpha_of(matrix(rows$covariance, max(rows$melody))))
}

left <- !(paste(numbers$number, numbers$part) %in% checked)
if (any(left)) {
  cat("\nNot computed again from this copy:\n")
  cat(sprintf("  %s, %s: %s\n", numbers$number[left], numbers$part[left], numbers$why_not[left]), sep = "")
}
silent <- left & is.na(numbers$why_not)
if (length(differ) > 0) stop("R and the report differ in: ", paste(unique(differ), collapse = "; "))
if (any(silent)) stop("These numbers were not computed again, and nothing says why: ",
                      paste(numbers$number[silent], collapse = "; "))
cat(sprintf("\n%d numbers computed again; R and the report agree in all of them.\n", length(unique(checked))))
if (length(drawn) > 0) {
  cat(sprintf("%d of them rest on draws, here and there, and agree within five standard errors of drawing.\n",
              length(unique(drawn))))
}
