"""Texts about agreement and reliability."""

from __future__ import annotations

from kit.sources.source import Source

SOURCES = (
    Source(
        "shrout-fleiss-1979", "Shrout & Fleiss", "1979", "Intraclass correlations: uses in assessing rater reliability",
        "Psychological Bulletin 86, 420-428", "from memory",
    ),
    Source(
        "mcgraw-wong-1996", "McGraw & Wong", "1996",
        "Forming inferences about some intraclass correlation coefficients",
        "Psychological Methods 1, 30-46", "from memory",
    ),
    Source(
        "cohen-1968", "Cohen", "1968",
        "Weighted kappa: nominal scale agreement with provision for scaled disagreement or partial credit",
        "Psychological Bulletin 70, 213-220; its example as in the open package psych", "seen",
    ),
    Source(
        "fleiss-cohen-everitt-1969", "Fleiss, Cohen & Everitt", "1969",
        "Large sample standard errors of kappa and weighted kappa", "Psychological Bulletin 72, 323-327", "from memory",
    ),
    Source(
        "feinstein-cicchetti-1990", "Feinstein & Cicchetti", "1990",
        "High agreement but low kappa: I. The problems of two paradoxes",
        "Journal of Clinical Epidemiology 43, 543-549", "from memory",
    ),
    Source(
        "krippendorff-2011", "Krippendorff", "2011", "Computing Krippendorff's alpha-reliability",
        "University of Pennsylvania, Annenberg School for Communication", "from memory",
    ),
    Source(
        "zapf-2016", "Zapf, Castell, Morawietz & Karch", "2016",
        "Measuring inter-rater reliability for nominal data: which coefficients and confidence intervals are "
        "appropriate?",
        "BMC Medical Research Methodology 16, 93", "from memory",
    ),
    Source(
        "bland-altman-1986", "Bland & Altman", "1986",
        "Statistical methods for assessing agreement between two methods of clinical measurement",
        "Lancet 327, 307-310", "from memory",
    ),
    Source(
        "carkeet-2015", "Carkeet", "2015", "Exact parametric confidence intervals for Bland-Altman limits of agreement",
        "Optometry and Vision Science 92, e71-e80", "from memory",
    ),
    Source(
        "cronbach-1951", "Cronbach", "1951", "Coefficient alpha and the internal structure of tests",
        "Psychometrika 16, 297-334", "from memory",
    ),
    Source(
        "feldt-1965", "Feldt", "1965",
        "The approximate sampling distribution of Kuder-Richardson reliability coefficient twenty",
        "Psychometrika 30, 357-370; as in the open package statpsych, ci.cronbach", "seen",
    ),
    Source(
        "kuder-richardson-1937", "Kuder & Richardson", "1937", "The theory of the estimation of test reliability",
        "Psychometrika 2, 151-160, formula 20", "from memory",
    ),
    Source(
        "spearman-brown-1910", "Spearman; Brown", "1910",
        "Correlation calculated from faulty data; Some experimental results in the correlation of mental abilities",
        "British Journal of Psychology 3, 271-295 and 296-322", "from memory",
    ),
    Source(
        "lord-novick-1968", "Lord & Novick", "1968", "Statistical Theories of Mental Test Scores",
        "Addison-Wesley, chapter 3", "from memory",
    ),
    Source(
        "crocker-algina-1986", "Crocker & Algina", "1986", "Introduction to Classical and Modern Test Theory",
        "Holt, Rinehart & Winston, chapter 14", "from memory",
    ),
    Source(
        "rousson-2003", "Rousson, Gasser & Seifert", "2003",
        "Confidence intervals for intraclass correlation in inter-rater reliability",
        "Scandinavian Journal of Statistics 30, 617-624 (abstract)", "seen",
    ),
    Source(
        "hall-martin-schucany-1989", "Hall, Martin & Schucany", "1989",
        "Better nonparametric bootstrap confidence intervals for the correlation coefficient",
        "Journal of Statistical Computation and Simulation 33, 161-172 (summary of the report of 1988)", "seen",
    ),
    Source(
        "miller-1974", "Miller", "1974", "The jackknife - a review", "Biometrika 61, 1-15", "from memory",
    ),
    Source(
        "bishara-hittner-2017", "Bishara & Hittner", "2017",
        "Confidence intervals for correlations when data are not normal",
        "Behavior Research Methods 49, 294-309 (abstract)", "seen",
    ),
)  # fmt: skip
