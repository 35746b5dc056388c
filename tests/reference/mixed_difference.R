# Choirs with levels drawn from many: packages lme4 (fit, to the last digits) and lmerTest (Satterthwaite).
suppressMessages({library(lmerTest); library(mlmRev)})
exact <- lmerControl(optimizer="bobyqa", optCtrl=list(rhoend=1e-10, maxfun=1e5), calc.derivs=FALSE)
say <- function(id, m, l) {
  s <- contest1D(m, l); half <- qt(.975, s$df) * s$`Std. Error`; e <- s$Estimate
  cat(sprintf("%s value %.12g\n%s low %.12g\n%s high %.12g\n%s df %.12g\n%s p %.12g\n%s n %d\n",
              id, e, id, e - half, id, e + half, id, s$df, id, s$`Pr(>|t|)`, id, nobs(m)))
}
fit <- function(f, d) suppressMessages(lmer(f, d, control=exact))
d <- data.frame(choir=rep(1:8,each=4), trt=rep(c(1,0,1,0,1,0,1,0),each=4),
 pre=c(10,12,9,14,11,13,10,12,8,9,12,11,14,15,12,13,10,9,11,12,12,11,13,10,13,15,14,12,9,8,10,11),
 post=c(15,18,14,19,13,15,13,14,12,13,16,16,17,17,14,16,16,13,16,18,13,13,16,12,20,21,19,18,11,9,12,12))
u <- d[c(1:3,5:12,14,17:20,22,23,25:32),]
say("eight_choirs_adjusted", fit(post ~ trt + pre + (1 | choir), d), c(0, 1, 0))
say("eight_choirs_gains", fit(I(post - pre) ~ trt + (1 | choir), d), c(0, 1))
say("unbalanced", fit(post ~ trt + pre + (1 | choir), u), c(0, 1, 0))
say("contrast", fit(post ~ trt + pre + (1 | choir), u), c(0, 1, 2))
# no spread between choirs: the boundary
d$flat <- d$post - ave(d$post, d$choir) + 2 * d$trt
say("no_spread_between", fit(flat ~ trt + pre + (1 | choir), d), c(0, 1, 0))
say("high_school_and_beyond", fit(mAch ~ cses + meanses + (1 | school), Hsb82), c(0, 1, 0))
