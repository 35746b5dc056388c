"""Texts about equating, missing data, series and several tests at once."""

from __future__ import annotations

from kit.sources.source import Source

SOURCES = (
    # equating
    Source(
        "kolen-brennan-2004", "Kolen & Brennan", "2004", "Test equating, scaling, and linking: methods and practices",
        "2nd edition, Springer, chapters 2, 4 and 7; data as in the open package equate", "from memory",
    ),
    # missing scores
    Source(
        "rubin-1987", "Rubin", "1987", "Multiple imputation for nonresponse in surveys", "Wiley, chapter 3",
        "from memory",
    ),
    Source(
        "barnard-rubin-1999", "Barnard & Rubin", "1999", "Small-sample degrees of freedom with multiple imputation",
        "Biometrika 86, 948-955; as in the open package mice, pool.scalar", "seen",
    ),
    Source(
        "van-buuren-2018", "van Buuren", "2018", "Flexible imputation of missing data",
        "2nd edition, Chapman & Hall/CRC, algorithms 3.1 and 4.3; as in the open package mice", "from memory",
    ),
    Source(
        "horowitz-manski-2000", "Horowitz & Manski", "2000",
        "Nonparametric analysis of randomized experiments with missing covariate and outcome data",
        "Journal of the American Statistical Association 95, 77-84", "from memory",
    ),
    Source(
        "wwc-2020", "What Works Clearinghouse", "2020", "Standards handbook, version 4.1",
        "US Department of Education, Institute of Education Sciences, table II.1; as transcribed in two open codes",
        "seen",
    ),
    Source(
        "deke-chiang-2017", "Deke & Chiang", "2017",
        "The WWC attrition standard: sensitivity to assumptions and opportunities for refining and adapting to new "
        "contexts",
        "Evaluation Review 41, 130-154; abstract", "seen",
    ),
    # series
    Source(
        "parker-vannest-2009", "Parker & Vannest", "2009",
        "An improved effect size for single-case research: nonoverlap of all pairs",
        "Behavior Therapy 40, 357-367; its example as in the open package SingleCaseES", "seen",
    ),
    Source(
        "parker-2011", "Parker, Vannest, Davis & Sauber", "2011",
        "Combining nonoverlap and trend for single-case research: Tau-U",
        "Behavior Therapy 42, 284-299; its example as in the open package SingleCaseES", "seen",
    ),
    Source(
        "newcombe-2006", "Newcombe", "2006",
        "Confidence intervals for an effect size measure based on the Mann-Whitney statistic. Part 2: asymptotic "
        "methods and evaluation",
        "Statistics in Medicine 25, 559-573; as in the open package SingleCaseES", "seen",
    ),
    Source(
        "mann-whitney-1947", "Mann & Whitney", "1947",
        "On a test of whether one of two random variables is stochastically larger than the other",
        "Annals of Mathematical Statistics 18, 50-60", "from memory",
    ),
    Source(
        "kendall-1970", "Kendall", "1970", "Rank correlation methods", "4th edition, Griffin, chapters 1 and 4",
        "from memory",
    ),
    # several tests
    Source(
        "holm-1979", "Holm", "1979", "A simple sequentially rejective multiple test procedure",
        "Scandinavian Journal of Statistics 6, 65-70", "from memory",
    ),
    Source(
        "benjamini-hochberg-1995", "Benjamini & Hochberg", "1995",
        "Controlling the false discovery rate: a practical and powerful approach to multiple testing",
        "Journal of the Royal Statistical Society B 57, 289-300", "from memory",
    ),
)  # fmt: skip
