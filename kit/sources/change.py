"""Texts about means, changes, sizes and shares, and about studies of children."""

from __future__ import annotations

from kit.sources.source import Source

SOURCES = (
    # means
    Source("student-1908", "Student", "1908", "The probable error of a mean", "Biometrika 6, 1-25", "from memory"),
    Source(
        "nist-handbook", "NIST/SEMATECH", "2012", "e-Handbook of Statistical Methods",
        "National Institute of Standards and Technology, section 7.3.1", "from memory",
    ),
    Source(
        "welch-1947", "Welch", "1947",
        "The generalization of Student's problem when several different population variances are involved",
        "Biometrika 34, 28-35", "from memory",
    ),
    Source(
        "hollander-wolfe-1999", "Hollander & Wolfe", "1999", "Nonparametric Statistical Methods",
        "2nd edition, Wiley, chapter 3", "from memory",
    ),
    # effects
    Source(
        "becker-1988", "Becker", "1988", "Synthesizing standardized mean-change measures",
        "British Journal of Mathematical and Statistical Psychology 41, 257-278", "from memory",
    ),
    Source(
        "hedges-1981", "Hedges", "1981",
        "Distribution theory for Glass's estimator of effect size and related estimators",
        "Journal of Educational Statistics 6, 107-128", "from memory",
    ),
    Source(
        "bonett-2008", "Bonett", "2008", "Confidence intervals for standardized linear contrasts of means",
        "Psychological Methods 13, 99-109; as in the open package statpsych, ci.stdmean.ps", "seen",
    ),
    Source(
        "lakens-2013", "Lakens", "2013",
        "Calculating and reporting effect sizes to facilitate cumulative science",
        "Frontiers in Psychology 4, 863", "from memory",
    ),
    Source(
        "steiger-fouladi-1997", "Steiger & Fouladi", "1997",
        "Noncentrality interval estimation and the evaluation of statistical models",
        "In Harlow, Mulaik & Steiger (eds.), What If There Were No Significance Tests?, Erlbaum", "from memory",
    ),
    Source(
        "hake-1998", "Hake", "1998",
        "Interactive-engagement versus traditional methods: a six-thousand-student survey of mechanics test data",
        "American Journal of Physics 66, 64-74", "from memory",
    ),
    Source(
        "fieller-1954", "Fieller", "1954", "Some problems in interval estimation",
        "Journal of the Royal Statistical Society B 16, 175-185", "from memory",
    ),
    # proportions
    Source(
        "newcombe-1998a", "Newcombe", "1998a",
        "Two-sided confidence intervals for the single proportion: comparison of seven methods",
        "Statistics in Medicine 17, 857-872", "from memory",
    ),
    Source(
        "newcombe-1998b", "Newcombe", "1998b",
        "Interval estimation for the difference between independent proportions: comparison of eleven methods",
        "Statistics in Medicine 17, 873-890", "from memory",
    ),
    Source(
        "newcombe-1998c", "Newcombe", "1998c",
        "Improved confidence intervals for the difference between binomial proportions based on paired data",
        "Statistics in Medicine 17, 2635-2650; as in the tests of the open packages ratesci and contingencytables",
        "seen",
    ),
    Source(
        "fagerland-2013", "Fagerland, Lydersen & Laake", "2013",
        "The McNemar test for binary matched-pairs data: mid-p and asymptotic are better than exact conditional",
        "BMC Medical Research Methodology 13, 91; as in the open package contingencytables", "seen",
    ),
    # association, reliability, power, resampling
    Source(
        "fisher-1925", "Fisher", "1925", "Statistical Methods for Research Workers",
        "Oliver & Boyd, chapter VI", "from memory",
    ),
    Source(
        "galton-regression", "Bland & Altman", "1994", "Statistics notes: Regression towards the mean",
        "BMJ 308, 1499; first described by Galton (1886), Journal of the Anthropological Institute 15, 246-263",
        "from memory",
    ),
    Source(
        "aera-2014", "AERA, APA & NCME", "2014", "Standards for Educational and Psychological Testing",
        "American Educational Research Association, standards 2.13 and 2.14", "from memory",
    ),
    Source(
        "jacobson-truax-1991", "Jacobson & Truax", "1991",
        "Clinical significance: a statistical approach to defining meaningful change in psychotherapy research",
        "Journal of Consulting and Clinical Psychology 59, 12-19", "from memory",
    ),
    Source(
        "bloom-1995", "Bloom", "1995",
        "Minimum detectable effects: a simple way to report the statistical power of experimental designs",
        "Evaluation Review 19, 547-556", "from memory",
    ),
    Source(
        "efron-1987", "Efron", "1987", "Better bootstrap confidence intervals",
        "Journal of the American Statistical Association 82, 171-185", "from memory",
    ),
    Source(
        "efron-tibshirani-1993", "Efron & Tibshirani", "1993", "An Introduction to the Bootstrap",
        "Chapman & Hall", "from memory",
    ),
    Source("counting", "Counting", "", "Everyone on file is counted", "No formula", "common practice"),
    # what reports say
    Source(
        "wasserstein-2016", "Wasserstein & Lazar", "2016",
        "The ASA statement on p-values: context, process, and purpose",
        "The American Statistician 70, 129-133", "from memory",
    ),
    Source(
        "epoc-2021", "Cochrane Effective Practice and Organisation of Care (EPOC)", "2021",
        "EPOC resources for review authors: what study designs can be considered",
        "Cochrane; as quoted in an open review", "seen",
    ),
    Source(
        "mcclung-2008", "McClung", "2008",
        "Sight-singing scores of high school choristers with extensive training in movable solfege syllables and "
        "Curwen hand signs",
        "Journal of Research in Music Education 56, 255-266; the printed results were seen, the reliability of one "
        "melody (.56, 95 % interval .30 to .75) is worked out from its means, SDs and F", "seen",
    ),
    Source(
        "ferpa-99-31", "US Department of Education", "",
        "Family Educational Rights and Privacy, 34 CFR 99.31(b)(2): record codes for de-identified student data",
        "Code of Federal Regulations; as quoted in open code that cites it", "seen",
    ),
    Source(
        "ptac-faq", "Privacy Technical Assistance Center", "",
        "Frequently Asked Questions: Disclosure Avoidance",
        "US Department of Education; as quoted in a stored note", "seen",
    ),
    Source(
        "korn-graubard-1998", "Korn & Graubard", "1998",
        "Confidence intervals for proportions with small expected number of positive counts estimated from survey data",
        "Survey Methodology 24, 193-201", "from memory",
    ),
)  # fmt: skip
