"""Texts about mixed models, adjusting for a first test, and interrupted series."""

from __future__ import annotations

from kit.sources.source import Source

SOURCES = (
    Source(
        "laird-ware-1982", "Laird & Ware", "1982", "Random-effects models for longitudinal data",
        "Biometrics 38, 963-974", "from memory",
    ),
    Source(
        "kuznetsova-2017", "Kuznetsova, Brockhoff & Christensen", "2017",
        "lmerTest package: tests in linear mixed effects models", "Journal of Statistical Software 82(13)",
        "from memory",
    ),
    Source(
        "nocedal-wright-2006", "Nocedal & Wright", "2006", "Numerical Optimization", "Springer, chapter 6",
        "from memory",
    ),
    Source(
        "van-breukelen-2006", "Van Breukelen", "2006",
        "ANCOVA versus change from baseline had more power in randomized studies and more bias in nonrandomized "
        "studies",
        "Journal of Clinical Epidemiology 59, 920-925", "from memory",
    ),
    Source(
        "wagner-2002", "Wagner, Soumerai, Zhang & Ross-Degnan", "2002",
        "Segmented regression analysis of interrupted time series studies in medication use research",
        "Journal of Clinical Pharmacy and Therapeutics 27, 299-309", "from memory",
    ),
    Source(
        "newey-west-1987", "Newey & West", "1987",
        "A simple, positive semi-definite, heteroskedasticity and autocorrelation consistent covariance matrix",
        "Econometrica 55, 703-708", "from memory",
    ),
    Source(
        "newey-west-1994", "Newey & West", "1994", "Automatic lag selection in covariance matrix estimation",
        "Review of Economic Studies 61, 631-653", "from memory",
    ),
    Source(
        "pinheiro-bates-2000", "Pinheiro & Bates", "2000", "Mixed-Effects Models in S and S-PLUS",
        "Springer, section 5.3", "from memory",
    ),
)  # fmt: skip
