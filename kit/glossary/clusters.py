"""Words for students who come in choirs."""

from __future__ import annotations

from kit.glossary.word import Word

WORDS = (
    Word(
        "icc_clusters", "likeness inside choirs",
        "How much of the spread of scores lies between choirs: 0 where singers of one choir are no more alike than any "
        "others, 1 where all singers of a choir score the same.",
        "number up to 1", "", "searle-1971",
    ),
    Word(
        "design_effect", "cost of choirs",
        "How many times as many students are needed because they come in choirs, to be as sure as with students who "
        "have nothing to do with each other.",
        "times", "", "kish-1965",
    ),
    Word(
        "cluster_mean_difference", "difference of choir averages",
        "How far the averages of the two approaches lie apart, each choir counted once.",
        "points", "above zero: the program is higher", "donner-klar-2000",
    ),
    Word(
        "cluster_robust", "difference with an allowance for choirs",
        "How far the two approaches lie apart, each student counted once, with a range that allows for singers of one "
        "choir being alike.",
        "points", "above zero: the program is higher", "pustejovsky-tipton-2018",
    ),
    Word(
        "cluster_wild", "difference with drawn signs for choirs",
        "How far the two approaches lie apart. How sure that is comes from turning whole choirs' surprises round at "
        "random and looking how often as large a difference comes up.",
        "points", "above zero: the program is higher", "cameron-2008",
    ),
    Word(
        "clustered_t", "corrected t of a federal review",
        "The number by which a federal review of evidence judges an analysis that forgot about choirs, after taking "
        "account of them.",
        "t", "above zero: the program is higher", "hedges-2007",
    ),
    Word(
        "hedges_g_clusters", "difference in spreads, allowing for choirs",
        "How far the averages of the two groups lie apart, counted in standard deviations of all students, with a "
        "range that allows for choirs.",
        "standard deviations", "above zero: the program is higher", "hedges-2007",
    ),
)  # fmt: skip
