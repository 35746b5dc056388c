# committee.R: the key numbers of the report beside this file, computed again in R.
#
# How to run it:  Rscript committee.R        or, in R, in the folder of the report:  source("committee.R")
# What it needs:  R 4 or later, nothing else. Where the package clubSandwich is installed, its CR2 is asked too.
# What it does:   it reads the tables beside it, computes each number with formulas written out below, prints the
#                 number of the report beside that of R, and stops with an error if any two of them differ.
#
# Its tables:
#   committee_numbers.csv    the numbers of the report with all digits, each with its label in numbers.csv
#   committee_settings.csv   how they were computed: model, what counts as one, whether schools are held apart, level,
#                            what an original study printed
#   committee_choirs.csv     number of students, means, standard deviations and correlation of each choir
#   committee_students.csv   both marks of each student under a running number; only in a copy for the school itself
#   committee_melodies.csv   for each test the covariance of every two melodies
# A copy that leaves the school has no students and, where a choir is small, no choirs either; then the numbers that
# need them are listed at the end with the reason, and are not computed.

TOLERANCE <- 1e-7        # of the size of the number: far below anything that is printed
LISTED_UP_TO <- 200000   # ways to deal out the approaches up to which every one is looked at
DRAWS <- 9999            # else so many are drawn

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

# ---- comparing ---------------------------------------------------------------------------------------------------
checked <- character(0)
differ  <- character(0)
check <- function(name, part, r, allowed = TOLERANCE) {
  row <- which(numbers$number == name & numbers$part == part)
  # the report does not print it, or this copy does not hold what it needs: nothing to compare
  if (length(row) == 0 || !is.na(numbers$why_not[row])) return(invisible())
  ours <- as.numeric(numbers$ours[row])
  apart <- abs(ours - r)
  fits <- isTRUE(apart <= allowed * max(1, abs(ours)))
  cat(sprintf("%-34s %-6s %15.8f %15.8f %12.2e  %s\n", name, part, ours, r, apart, if (fits) "" else "DIFFERS"))
  checked <<- c(checked, paste(name, part))
  if (!fits) differ <<- c(differ, paste(name, part))
}
printed <- function(name) any(numbers$number == name)
check_all <- function(name, found) for (part in names(found)) check(name, part, found[[part]])

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
  "students"           = cr2(outcome(d, model), predictors(d, model), seq_len(nrow(d))))

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
  if (listed) return(list(p = reached / length(found), allowed = TOLERANCE))
  # drawn here and drawn there: two honest draws lie within five of their standard errors of each other
  p <- (reached + 1) / (DRAWS + 1)
  list(p = p, allowed = 5 * sqrt(p * (1 - p) * 2 / DRAWS))
}

compare <- function(d) {
  model <- setting("model")
  main <- by_method(d, model)
  check_all("difference", main)
  check_all("difference by gains", by_method(d, "gain"))
  check_all("difference adjusted", by_method(d, "adjusted"))
  if (printed("choirs shuffled")) {
    dealt <- shuffled(d, model)
    check("choirs shuffled", "p", dealt$p, dealt$allowed)
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
  size <- size_in_sd(main$value, d)
  check_all("size in SD", size[names(size) != "error"])
  size
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
