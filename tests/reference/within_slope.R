# Slope within choirs, choirs as factors; CR2 standard errors with Satterthwaite degrees of freedom: package clubSandwich.
suppressMessages(library(clubSandwich))
d <- data.frame(choir=rep(1:8,each=4),
 pre=c(10,12,9,14,11,13,10,12,8,9,12,11,14,15,12,13,10,9,11,12,12,11,13,10,13,15,14,12,9,8,10,11),
 post=c(15,18,14,19,13,15,13,14,12,13,16,16,17,17,14,16,16,13,16,18,13,13,16,12,20,21,19,18,11,9,12,12))
say <- function(id, d) {
 m <- lm(post~pre+factor(choir), d); r <- conf_int(m, vcov="CR2", cluster=d$choir, p_values=TRUE)[2,]
 cat(sprintf('%s value %.15g\n%s low %.15g\n%s high %.15g\n%s df %.15g\n%s p %.15g\n',
  id,r$beta,id,r$CI_L,id,r$CI_U,id,r$df,id,r$p_val)) }
say("eight_choirs", d)
say("unbalanced", d[c(1:3,5:12,14,17:20,22,23,25:32),])
