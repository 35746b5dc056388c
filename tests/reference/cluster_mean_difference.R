# Least squares on the averages of the choirs, in base R.
d <- data.frame(choir=factor(rep(1:8,each=4)), trt=factor(rep(c(1,0,1,0,1,0,1,0),each=4)),
 pre=c(10,12,9,14,11,13,10,12,8,9,12,11,14,15,12,13,10,9,11,12,12,11,13,10,13,15,14,12,9,8,10,11),
 post=c(15,18,14,19,13,15,13,14,12,13,16,16,17,17,14,16,16,13,16,18,13,13,16,12,20,21,19,18,11,9,12,12))
u <- d[c(1:3,5:12,14,17:20,22,23,25:32),]
mm <- function(id,d,f){ a <- aggregate(cbind(pre,post)~choir+trt,d,mean); m<-lm(f,a); s<-summary(m)$coefficients[2,]; ci<-confint(m)[2,]; cat(sprintf("%s %.15g %.15g %.15g df %d p %.15g n %d\n", id, s[1],ci[1],ci[2],m$df.residual,s[4],nrow(d)))}
mm("means",d,post~trt); mm("means_adj",d,post~trt+pre); mm("unb_means_adj",u,post~trt+pre); mm("gain",d,I(post-pre)~trt)
d$block <- factor(rep(c(1,1,1,2,2,2,2,2),each=4))
a <- aggregate(cbind(pre,post)~choir+trt+block,d,mean); m<-lm(post~trt+pre+block,a); s<-summary(m)$coefficients[2,]; ci<-confint(m)[2,]; cat(sprintf("%s %.15g %.15g %.15g df %d p %.15g n %d\n", "blocks_adj", s[1],ci[1],ci[2],m$df.residual,s[4],nrow(d)))
