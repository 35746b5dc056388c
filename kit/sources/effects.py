"""Texts about sizes between groups, superiority and resampling."""

from __future__ import annotations

from kit.sources.source import Source

SOURCES = (
    Source(
        "glass-1976", "Glass", "1976", "Primary, secondary, and meta-analysis of research",
        "Educational Researcher 5(10), 3-8", "from memory",
    ),
    Source(
        "morris-2008", "Morris", "2008", "Estimating effect sizes from pretest-posttest-control group designs",
        "Organizational Research Methods 11, 364-386; as in the tests of the open package metafor", "seen",
    ),
    Source(
        "wwc-2022", "What Works Clearinghouse", "2022", "Procedures and Standards Handbook, version 5.0",
        "Institute of Education Sciences, appendix E; as in open code that cites it", "seen",
    ),
    Source(
        "cox-1970", "Cox", "1970", "Analysis of Binary Data", "Methuen, chapter 2", "from memory",
    ),
    Source(
        "sanchez-meca-2003", "Sánchez-Meca, Marín-Martínez & Chacón-Moscoso", "2003",
        "Effect-size indices for dichotomized outcomes in meta-analysis", "Psychological Methods 8, 448-467",
        "from memory",
    ),
    Source(
        "woolf-1955", "Woolf", "1955", "On estimating the relation between blood group and disease",
        "Annals of Human Genetics 19, 251-253", "from memory",
    ),
    Source(
        "vargha-delaney-2000", "Vargha & Delaney", "2000",
        "A critique and improvement of the CL common language effect size statistics of McGraw and Wong",
        "Journal of Educational and Behavioral Statistics 25, 101-132", "from memory",
    ),
    Source(
        "brunner-munzel-2000", "Brunner & Munzel", "2000",
        "The nonparametric Behrens-Fisher problem: asymptotic theory and a small-sample approximation",
        "Biometrical Journal 42, 17-25; as in the documentation of the open package scipy", "seen",
    ),
    Source(
        "grissom-kim-2012", "Grissom & Kim", "2012",
        "Effect Sizes for Research: Univariate and Multivariate Applications", "2nd edition, Routledge, chapter 5",
        "from memory",
    ),
    Source(
        "tango-1998", "Tango", "1998",
        "Equivalence test and confidence interval for the difference in proportions for the paired-sample design",
        "Statistics in Medicine 17, 891-908; as in the open package contingencytables", "seen",
    ),
    Source(
        "cliff-1993", "Cliff", "1993", "Dominance statistics: ordinal analyses to answer ordinal questions",
        "Psychological Bulletin 114, 494-509; as in the open package effsize", "seen",
    ),
    Source(
        "feng-cliff-2004", "Feng & Cliff", "2004",
        "Monte Carlo evaluation of ordinal d with improved confidence interval",
        "Journal of Modern Applied Statistical Methods 3, 322-332; the formula as in the open package effsize", "seen",
    ),
    Source(
        "agresti-caffo-2000", "Agresti & Caffo", "2000",
        "Simple and effective confidence intervals for proportions and differences of proportions result from adding "
        "two successes and two failures",
        "The American Statistician 54, 280-288; as in the open package statpsych, ci.prop2", "seen",
    ),
    Source(
        "bonett-price-2012", "Bonett & Price", "2012",
        "Adjusted Wald confidence interval for a difference of binomial proportions based on paired data",
        "Journal of Educational and Behavioral Statistics 37, 479-488; as in the open package statpsych, ci.prop.ps",
        "seen",
    ),
    Source(
        "davison-hinkley-1997", "Davison & Hinkley", "1997", "Bootstrap Methods and their Application",
        "Cambridge University Press, section 3.8", "from memory",
    ),
    Source(
        "phipson-smyth-2010", "Phipson & Smyth", "2010",
        "Permutation p-values should never be zero: calculating exact p-values when permutations are randomly drawn",
        "Statistical Applications in Genetics and Molecular Biology 9, 39", "from memory",
    ),
)  # fmt: skip
