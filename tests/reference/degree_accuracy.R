# Partial pooling, fully Bayesian by Monte Carlo: package rstanarm 2.21.3 (stan_glmer), whose priors are the kit's:
# intercept normal(0, 1.7), each spread exponential(1). Prints mean and 2.5 % and 97.5 % quantiles of each share; they stand
# in tests/stats/learning/test_pooled_accuracy.py and, some of them, in degree_accuracy.json. Takes about five minutes.
# 1. Efron & Morris (1975, table 1): hits of 18 players in their first 45 times at bat, as in bball1970 of that package, the
#    worked example of Carpenter, Gabry & Goodrich, "Hierarchical partial pooling for repeated binary trials".
# 2. VerbAgg of package lme4, first 40 persons, 24 questions: share of "yes" to each question, averaged over these persons.
# 3. The first 60 persons, 12 questions, a fifth of the answers: 150 tries.
suppressMessages({library(rstanarm); library(lme4)})
run <- function(formula, data, iter) suppressMessages(stan_glmer(formula, data, binomial, prior_intercept = normal(0, 1.7),
  chains = 4, iter = iter, warmup = 1000, seed = 20, refresh = 0, adapt_delta = 0.99))
say <- function(draws) cat(sprintf("%.4f", c(mean(draws), quantile(draws, c(0.025, 0.975)))), "\n")
shares <- posterior_epred(run(cbind(Hits, AB - Hits) ~ 1 + (1 | Player), bball1970, 11000))
for (at in seq_len(18)) say(shares[, at])
v <- VerbAgg
v$y <- as.integer(v$r2 == "Y")
v$place <- as.integer(factor(v$item, levels = unique(v$item)))
v$id <- as.integer(v$id)
each <- function(data, iter) {
  draws <- posterior_epred(run(y ~ 1 + (1 | id) + (1 | place), data, iter),
                           newdata = (all <- expand.grid(id = unique(data$id), place = sort(unique(data$place)))))
  for (k in sort(unique(data$place))) say(rowMeans(draws[, all$place == k]))
}
each(v[v$id <= 40, ], 11000)
each(v[v$id <= 60 & v$place <= 12 & (v$place * 7 + v$id * 5) %% 24 < 5, ], 6000)
