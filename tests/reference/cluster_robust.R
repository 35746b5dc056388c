# CR2 standard errors with Satterthwaite degrees of freedom: package clubSandwich.
suppressMessages(library(clubSandwich))
d <- data.frame(choir=rep(1:8,each=4), trt=rep(c(1,0,1,0,1,0,1,0),each=4),
 pre=c(10,12,9,14,11,13,10,12,8,9,12,11,14,15,12,13,10,9,11,12,12,11,13,10,13,15,14,12,9,8,10,11),
 post=c(15,18,14,19,13,15,13,14,12,13,16,16,17,17,14,16,16,13,16,18,13,13,16,12,20,21,19,18,11,9,12,12))
say <- function(id, m, cl, k=2, contrast=NULL) { 
 if (is.null(contrast)) { r <- conf_int(m, vcov="CR2", cluster=cl, p_values=TRUE)[k,]; e<-r$beta; df<-r$df; lo<-r$CI_L; hi<-r$CI_U; p<-r$p_val }
 else { r <- linear_contrast(m, vcov="CR2", cluster=cl, contrasts=contrast, p_values=TRUE); e<-r$Est; df<-r$df; lo<-r$CI_L; hi<-r$CI_U; p<-r$p_val}
 cat(sprintf('%s value %.15g\n%s low %.15g\n%s high %.15g\n%s df %.15g\n%s p %.15g\n', id,e,id,lo,id,hi,id,df,id,p)) }
say("eight_choirs_adjusted", lm(post~trt+pre,d), d$choir)
say("eight_choirs", lm(post~trt,d), d$choir)
d$two <- as.numeric(d$choir %in% c(1,3)); say("two_treated", lm(post~two+pre,d), d$choir)
u <- d[c(1:3,5:12,14,17:20,22,23,25:32),]; say("unbalanced", lm(post~trt+pre,u), u$choir)
# inverse variances as weights: the model of weighted rows
w <- 1 + (seq_len(nrow(d)) %% 3)
t <- data.frame(y = sqrt(w) * d$post, a = sqrt(w) * d$trt, b = sqrt(w) * d$pre, c = sqrt(w))
say("weighted", lm(y ~ 0 + a + b + c, t), d$choir, k = 1)
say("contrast", lm(post~trt+pre,u), u$choir, contrast=rbind(c(0,1,2)))
