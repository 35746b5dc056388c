"""Texts about pooling, replication and equivalence."""

from __future__ import annotations

from kit.sources.source import Source

SOURCES = (
    Source(
        "dersimonian-laird-1986", "DerSimonian & Laird", "1986", "Meta-analysis in clinical trials",
        "Controlled Clinical Trials 7, 177-188", "from memory",
    ),
    Source(
        "paule-mandel-1982", "Paule & Mandel", "1982", "Consensus values and weighting factors",
        "Journal of Research of the National Bureau of Standards 87, 377-385", "from memory",
    ),
    Source(
        "viechtbauer-2005", "Viechtbauer", "2005",
        "Bias and efficiency of meta-analytic variance estimators in the random-effects model",
        "Journal of Educational and Behavioral Statistics 30, 261-293", "from memory",
    ),
    Source(
        "viechtbauer-2007", "Viechtbauer", "2007",
        "Confidence intervals for the amount of heterogeneity in meta-analysis",
        "Statistics in Medicine 26, 37-52", "from memory",
    ),
    Source(
        "hartung-knapp-2001", "Hartung & Knapp", "2001",
        "A refined method for the meta-analysis of controlled clinical trials with binary outcome",
        "Statistics in Medicine 20, 3875-3889", "from memory",
    ),
    Source(
        "higgins-thompson-2002", "Higgins & Thompson", "2002", "Quantifying heterogeneity in a meta-analysis",
        "Statistics in Medicine 21, 1539-1558", "from memory",
    ),
    Source(
        "higgins-2009", "Higgins, Thompson & Spiegelhalter", "2009",
        "A re-evaluation of random-effects meta-analysis",
        "Journal of the Royal Statistical Society A 172, 137-159", "from memory",
    ),
    Source(
        "cochran-1954", "Cochran", "1954", "The combination of estimates from different experiments",
        "Biometrics 10, 101-129", "from memory",
    ),
    Source(
        "patil-2016", "Patil, Peng & Leek", "2016",
        "What should researchers expect when they replicate studies? A statistical view of replicability in "
        "psychological science",
        "Perspectives on Psychological Science 11, 539-544", "from memory",
    ),
    Source(
        "hedges-schauer-2019", "Hedges & Schauer", "2019",
        "Statistical analyses for studying replication: meta-analytic perspectives",
        "Psychological Methods 24, 557-570", "from memory",
    ),
    Source(
        "simonsohn-2015", "Simonsohn", "2015", "Small telescopes: detectability and the evaluation of replication results",
        "Psychological Science 26, 559-569", "from memory",
    ),
    Source(
        "schuirmann-1987", "Schuirmann", "1987",
        "A comparison of the two one-sided tests procedure and the power approach for assessing the equivalence of "
        "average bioavailability",
        "Journal of Pharmacokinetics and Biopharmaceutics 15, 657-680", "from memory",
    ),
    Source(
        "lakens-2017", "Lakens", "2017", "Equivalence tests: a practical primer for t tests, correlations, and meta-analyses",
        "Social Psychological and Personality Science 8, 355-362; as in the open package TOSTER", "seen",
    ),
    Source(
        "borenstein-2009", "Borenstein, Hedges, Higgins & Rothstein", "2009", "Introduction to Meta-Analysis",
        "Wiley, chapters 4 and 7", "from memory",
    ),
    Source(
        "cox-snell-1989", "Cox & Snell", "1989", "Analysis of Binary Data",
        "2nd edition, Chapman & Hall", "from memory",
    ),
    Source(
        "nuijten-2016", "Nuijten, Hartgerink, van Assen, Epskamp & Wicherts", "2016",
        "The prevalence of statistical reporting errors in psychology (1985-2013)",
        "Behavior Research Methods 48, 1205-1226", "from memory",
    ),
)  # fmt: skip
