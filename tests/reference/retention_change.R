# Mean of paired differences with persons as units, CR2 and Satterthwaite: package clubSandwich, conf_int and coef_test.
# Data: VerbAgg of package lme4, first 30 persons: "want to" before, "do" after, same behaviour and situation; each fifth pair out.
suppressMessages(library(clubSandwich))
v <- lme4::VerbAgg
v <- v[as.integer(v$id) <= 30, ]
v$y <- as.integer(v$r2 == "Y")
v$what <- sub("^S([0-9])(Want|Do)", "S\\1", v$item, ignore.case = TRUE)
v$what <- gsub("(want|do)", "", v$what, ignore.case = TRUE)
wide <- merge(v[v$mode == "want", c("id", "what", "y")], v[v$mode == "do", c("id", "what", "y")], by = c("id", "what"))
wide <- wide[order(as.integer(wide$id), wide$what), ]
wide <- wide[(as.integer(wide$id) * seq_len(nrow(wide))) %% 5 != 0, ]
m <- lm(I(y.y - y.x) ~ 1, wide)
ci <- conf_int(m, vcov = "CR2", cluster = wide$id)
test <- coef_test(m, vcov = "CR2", cluster = wide$id)
says <- sprintf("R %s.%s, package clubSandwich %s, CR2; retention_change.R beside this file", R.version$major, R.version$minor, packageVersion("clubSandwich"))
case <- list(id = "r_verbagg", source = says, status = "made by that script",
             data = list(before = wide$y.x, after = wide$y.y, students = as.integer(wide$id)), options = structure(list(), names = character(0)),
             expected = list(value = c(ci$beta, 1e-9), low = c(ci$CI_L, 1e-7), high = c(ci$CI_U, 1e-7), df = c(ci$df, 1e-6),
                             p = c(test$p_Satt, 1e-7), n = c(nrow(wide), 0)))
writeLines(jsonlite::toJSON(list(statistic = "retention_change", cases = list(case)), auto_unbox = TRUE, digits = 12), "retention_change.json")
