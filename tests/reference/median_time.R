# Kaplan-Meier with a log-log band and the median's interval: package survival, survfit(conf.type = "log-log").
# Data: MASS gehan, remission under 6-MP (Freireich and others 1963; Gehan 1965); and sixteen times of six persons, where
# survfit(cluster = ) gives the robust error. Writes median_time.json, trials_to_criterion.json, days_to_criterion.json.
suppressMessages(library(survival))
d <- MASS::gehan[MASS::gehan$treat == "6-MP", ]
says <- sprintf("R %s.%s, package survival %s, survfit(conf.type = \"log-log\"); median_time.R beside this file",
                R.version$major, R.version$minor, packageVersion("survival"))
parts <- function(fit, n) {
  t <- summary(fit)$table
  e <- list(value = c(t[["median"]], 1e-12), low = c(t[["0.95LCL"]], 1e-12), n = c(n, 0))
  if (is.na(t[["0.95UCL"]])) e$high <- list(1e999, 0) else e$high <- c(t[["0.95UCL"]], 1e-12)
  e
}
one <- survfit(Surv(time, cens) ~ 1, d, conf.type = "log-log")
time <- c(3, 5, 2, 8, 8, 4, 6, 9, 12, 3, 7, 5, 2, 2, 10, 4)
there <- c(1, 1, 0, 1, 0, 1, 1, 0, 1, 1, 1, 0, 1, 1, 1, 1)
who <- rep(1:6, c(3, 2, 4, 1, 3, 3))
many <- survfit(Surv(time, there) ~ 1, cluster = who, robust = TRUE, conf.type = "log-log")
none <- structure(list(), names = character(0))
case <- function(id, data, options, expected) list(id = id, source = says, status = "made by that script", data = data, options = options, expected = expected)
put <- function(name, ...) {
  text <- jsonlite::toJSON(list(statistic = name, cases = list(...)), auto_unbox = TRUE, digits = 12)
  writeLines(gsub("[\"Inf\",0]", "[Infinity,0]", text, fixed = TRUE), paste0(name, ".json"))
}
six <- parts(one, nrow(d))
put("median_time", case("r_6mp", list(durations = d$time, reached = d$cens), none, six),
    case("r_persons", list(durations = time, reached = there, clusters = who), none, parts(many, 16)))
# the same times as tries: so many wrong ones, the last right where remission ended
tries <- unlist(mapply(function(t, e) c(rep(0, t - 1), e), d$time, d$cens, SIMPLIFY = FALSE))
put("trials_to_criterion", case("r_6mp_as_tries", list(right = tries, students = rep(seq_len(nrow(d)), d$time), items = rep(1, length(tries))),
                                list(in_a_row = 1), six))
put("days_to_criterion", case("r_6mp_as_days", list(right = c(rbind(0, d$cens)), students = rep(seq_len(nrow(d)), each = 2),
                              items = rep(1, 2 * nrow(d)), days = c(rbind(0, d$time))), list(in_a_row = 1), six))
