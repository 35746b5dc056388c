# Gains, CR2 and Satterthwaite: package clubSandwich; singly assigned students are their own clusters.
suppressMessages(library(clubSandwich))
d <- data.frame(choir=rep(1:8,each=4), trt=rep(c(1,0,1,0,1,0,1,0),each=4),
 pre=c(10,12,9,14,11,13,10,12,8,9,12,11,14,15,12,13,10,9,11,12,12,11,13,10,13,15,14,12,9,8,10,11),
 post=c(15,18,14,19,13,15,13,14,12,13,16,16,17,17,14,16,16,13,16,18,13,13,16,12,20,21,19,18,11,9,12,12))
d$block <- ifelse(d$choir < 4, "North", "South")
u <- d[c(1:3,5:12,14,17:20,22,23,25:32),]
say <- function(id, m, cl) {
  r <- conf_int(m, vcov="CR2", cluster=cl, p_values=TRUE)[2, ]
  cat(sprintf("%s value %.12g\n%s low %.12g\n%s high %.12g\n%s df %.12g\n%s p %.12g\n%s n %d\n",
              id, r$beta, id, r$CI_L, id, r$CI_U, id, r$df, id, r$p_val, id, nobs(m)))
}
say("choirs", lm(I(post - pre) ~ trt, d), d$choir)
say("unbalanced", lm(I(post - pre) ~ trt, u), u$choir)
say("singly", lm(I(post - pre) ~ trt, d), seq_len(nrow(d)))
say("blocks", lm(I(post - pre) ~ trt + block, u), u$choir)
