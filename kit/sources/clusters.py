"""Texts about students who come in choirs."""

from __future__ import annotations

from kit.sources.source import Source

SOURCES = (
    Source(
        "searle-1971", "Searle", "1971", "Linear Models", "Wiley, chapter 9", "from memory",
    ),
    Source(
        "kish-1965", "Kish", "1965", "Survey Sampling", "Wiley, section 5.4", "from memory",
    ),
    Source(
        "donner-klar-2000", "Donner & Klar", "2000",
        "Design and Analysis of Cluster Randomization Trials in Health Research", "Arnold, chapter 7", "from memory",
    ),
    Source(
        "pustejovsky-tipton-2018", "Pustejovsky & Tipton", "2018",
        "Small-sample methods for cluster-robust variance estimation and hypothesis testing in fixed effects models",
        "Journal of Business & Economic Statistics 36, 672-683 (abstract); as in the open package clubSandwich", "seen",
    ),
    Source(
        "cameron-2008", "Cameron, Gelbach & Miller", "2008",
        "Bootstrap-based improvements for inference with clustered errors",
        "Review of Economics and Statistics 90, 414-427", "from memory",
    ),
    Source(
        "webb-2023", "Webb", "2023", "Reworking wild bootstrap-based inference for clustered errors",
        "Canadian Journal of Economics 56, 839-858", "from memory",
    ),
    Source(
        "hedges-2007", "Hedges", "2007", "Effect sizes in cluster-randomized designs",
        "Journal of Educational and Behavioral Statistics 32, 341-370; as in open code that cites it", "seen",
    ),
)  # fmt: skip
