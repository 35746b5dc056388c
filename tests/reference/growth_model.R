# Linear mixed models of growth: packages lme4 (fit, to the last digits) and lmerTest (Satterthwaite); data of lme4, mlmRev.
suppressMessages({library(lmerTest); library(mlmRev)})
exact <- lmerControl(optimizer="bobyqa", optCtrl=list(rhoend=1e-10, maxfun=1e5), calc.derivs=FALSE)
say <- function(id, m, row) {
  s <- summary(m)$coefficients[row, ]; half <- qt(.975, s[3]) * s[2]
  cat(sprintf("%s value %.12g\n%s low %.12g\n%s high %.12g\n%s df %.12g\n%s p %.12g\n%s n %d\n",
              id, s[1], id, s[1] - half, id, s[1] + half, id, s[3], id, s[5], id, nobs(m)))
  cat(sprintf("%s loglik %.10f\n", id, c(logLik(m)))); v <- as.data.frame(VarCorr(m))
  cat(sprintf("%s %s.%s.%s %.9g\n", id, v$grp, v$var1, ifelse(is.na(v$var2), "", v$var2), v$vcov), sep="")
}
fit <- function(f, d) suppressMessages(lmer(f, d, control=exact))
say("sleepstudy", fit(Reaction ~ Days + (Days | Subject), sleepstudy), "Days")
say("sleepstudy_levels", fit(Reaction ~ Days + (1 | Subject), sleepstudy), "Days")
# 7,185 pupils in 160 schools: the line of each school along a pupil's distance from its school's average background
say("high_school_and_beyond", fit(mAch ~ cses + (cses | school), Hsb82), "cses")
# 1,721 children in 60 schools, up to six tests each
say("children_in_schools", fit(math ~ year + (year | schoolid) + (year | childid), egsingle), "year")
say("children_in_schools_poor", fit(math ~ year * lowinc + (year | schoolid) + (year | childid), egsingle), "year:lowinc")
say("children_in_schools_levels", fit(math ~ year + (1 | schoolid) + (year | childid), egsingle), "year")
# six choirs of four students, three tests each, invented; both fits are singular
six <- data.frame(choir=rep(1:6, each=12), student=rep(1:24, each=3), time=rep(0:2, 24))
six$trt <- (six$choir + 1) %% 2
line <- c(6,8,9,8,8,10,10,10,12,14,14,15,5,5,8,11,18,21,9,11,14,15,17,15,
 15,19,18,17,22,24,14,13,20,12,17,19,17,20,24,15,19,20,10,8,10,14,14,17,
 13,15,18,16,18,17,9,9,10,11,10,14,13,14,18,13,16,17,8,9,14,14,19,21)
zero <- c(9,12,16,7,12,13,11,10,13,14,18,17,16,18,18,12,17,17,11,12,14,9,12,16,
 14,15,19,15,17,19,14,13,13,7,10,10,8,12,11,16,18,19,13,17,19,5,6,10,
 11,15,18,8,11,14,10,9,9,13,13,13,12,12,12,15,17,19,11,14,18,12,10,12)
say("choirs_on_a_line", fit(line ~ time * trt + (time | choir) + (time | student), six), "time:trt")
say("choirs_all_the_same", fit(zero ~ time * trt + (time | choir) + (time | student), six), "time:trt")
# two tests: levels of students, levels and paces of choirs
d <- data.frame(choir=rep(1:8,each=4), trt=rep(c(1,0,1,0,1,0,1,0),each=4), student=1:32,
 pre=c(10,12,9,14,11,13,10,12,8,9,12,11,14,15,12,13,10,9,11,12,12,11,13,10,13,15,14,12,9,8,10,11),
 post=c(15,18,14,19,13,15,13,14,12,13,16,16,17,17,14,16,16,13,16,18,13,13,16,12,20,21,19,18,11,9,12,12))
two <- with(d, data.frame(choir=rep(choir,2), trt=rep(trt,2), student=rep(student,2), time=rep(0:1,each=32), score=c(pre,post)))
say("two_tests", fit(score ~ time * trt + (time | choir) + (1 | student), two), "time:trt")
