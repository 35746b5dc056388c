# The design effect beside the intraclass correlation, in base R.
d <- data.frame(choir=factor(rep(1:8,each=4)), trt=factor(rep(c(1,0,1,0,1,0,1,0),each=4)),
 pre=c(10,12,9,14,11,13,10,12,8,9,12,11,14,15,12,13,10,9,11,12,12,11,13,10,13,15,14,12,9,8,10,11),
 post=c(15,18,14,19,13,15,13,14,12,13,16,16,17,17,14,16,16,13,16,18,13,13,16,12,20,21,19,18,11,9,12,12))
icc <- function(id, d, arms) {
 n <- nrow(d); g <- tapply(d$post, droplevels(d$choir), length)
 a <- if (arms) anova(lm(post~trt+choir, d)) else anova(lm(post~choir,d))
 k <- if (arms) 2 else 1
 F <- a$F[k]; d1 <- a$Df[k]; d2 <- a$Df[k+1]
 unl <- if (arms) sum(sapply(split(d, d$trt), function(s) sum(table(droplevels(s$choir))^2)/nrow(s))) else sum(g^2)/n
 m0 <- (n-unl)/d1
 e <- function(f) (f-1)/(f+m0-1)
 v <- e(F); lo <- e(F/qf(.975,d1,d2)); hi <- e(F/qf(.025,d1,d2))
 own <- sum(g^2)/n-1
 cat(sprintf("%s %.15g %.15g %.15g n %d | deff %.15g %.15g %.15g\n", id, v, lo, hi, n, 1+own*v,1+own*lo,1+own*hi)) }
icc("all", d, FALSE); icc("arms", d, TRUE); u <- d[c(1:3,5:12,14,17:20,22,23,25:32),]; icc("unb", u, FALSE); icc("unb_arms", u, TRUE)
