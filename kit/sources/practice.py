"""Texts about practice: learning, forgetting, pooling and waiting times."""

from __future__ import annotations

from kit.sources.source import Source

SOURCES = (
    Source(
        "bates-2015", "Bates, Mächler, Bolker & Walker", "2015", "Fitting linear mixed-effects models using lme4",
        "Journal of Statistical Software 67(1), 1-48; logistic model as the open package's glmer fits it, run here",
        "seen",
    ),
    Source(
        "breslow-clayton-1993", "Breslow & Clayton", "1993",
        "Approximate inference in generalized linear mixed models",
        "Journal of the American Statistical Association 88, 9-25", "from memory",
    ),
    Source(
        "rue-2009", "Rue, Martino & Chopin", "2009",
        "Approximate Bayesian inference for latent Gaussian models by using integrated nested Laplace approximations",
        "Journal of the Royal Statistical Society B 71, 319-392", "from memory",
    ),
    Source(
        "efron-morris-1975", "Efron & Morris", "1975", "Data analysis using Stein's estimator and its generalizations",
        "Journal of the American Statistical Association 70, 311-319, table 1; data as in the open package rstanarm",
        "seen",
    ),
    Source(
        "kaplan-meier-1958", "Kaplan & Meier", "1958", "Nonparametric estimation from incomplete observations",
        "Journal of the American Statistical Association 53, 457-481", "from memory",
    ),
    Source(
        "greenwood-1926", "Greenwood", "1926", "The natural duration of cancer",
        "Reports on Public Health and Medical Subjects 33, 1-26; as the open package survival computes it", "seen",
    ),
    Source(
        "lin-wei-1989", "Lin & Wei", "1989", "The robust inference for the Cox proportional hazards model",
        "Journal of the American Statistical Association 84, 1074-1078; for curves as the open package survival does",
        "seen",
    ),
    Source(
        "brookmeyer-crowley-1982", "Brookmeyer & Crowley", "1982", "A confidence interval for the median survival time",
        "Biometrics 38, 29-41", "from memory",
    ),
    Source(
        "pustejovsky-tipton-2018", "Pustejovsky & Tipton", "2018",
        "Small-sample methods for cluster-robust variance estimation and hypothesis testing in fixed effects models",
        "Journal of Business & Economic Statistics 36, 672-683; as the open package clubSandwich computes it", "seen",
    ),
)  # fmt: skip
