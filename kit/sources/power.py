"""Texts about planning and power."""

from __future__ import annotations

from kit.sources.source import Source

SOURCES = (
    Source(
        "cohen-1988", "Cohen", "1988", "Statistical Power Analysis for the Behavioral Sciences",
        "2nd edition, Erlbaum, chapter 2", "from memory",
    ),
    Source(
        "borm-2007", "Borm, Fransen & Lemmens", "2007",
        "A simple sample size formula for analysis of covariance in randomized clinical trials",
        "Journal of Clinical Epidemiology 60, 1234-1238", "from memory",
    ),
    Source(
        "dong-maynard-2013", "Dong & Maynard", "2013",
        "PowerUp!: a tool for calculating minimum detectable effect sizes and minimum required sample sizes for "
        "experimental and quasi-experimental design studies",
        "Journal of Research on Educational Effectiveness 6, 24-67; formula and example as in its open R package",
        "seen",
    ),
    Source(
        "hussey-hughes-2007", "Hussey & Hughes", "2007",
        "Design and analysis of stepped wedge cluster randomized trials",
        "Contemporary Clinical Trials 28, 182-191", "from memory",
    ),
    Source(
        "hooper-2016", "Hooper, Teerenstra, de Hoop & Eldridge", "2016",
        "Sample size calculation for stepped wedge and other longitudinal cluster randomised trials",
        "Statistics in Medicine 35, 4718-4728", "from memory",
    ),
    Source(
        "raudenbush-1997", "Raudenbush", "1997",
        "Statistical analysis and optimal design for cluster randomized trials",
        "Psychological Methods 2, 173-185", "from memory",
    ),
    Source(
        "edgington-onghena-2007", "Edgington & Onghena", "2007", "Randomization Tests",
        "4th edition, Chapman & Hall/CRC", "from memory",
    ),
)  # fmt: skip
