"""Words for pooling, replication and equivalence."""

from __future__ import annotations

from kit.glossary.word import Word

WORDS = (
    Word(
        "pooled_effect",
        "average over studies",
        "The results of several studies averaged, where more exact studies count more.",
        "the unit of the studies, often standard deviations (SD)",
        "above zero: better on average",
        "dersimonian-laird-1986",
    ),
    Word(
        "prediction_interval",
        "where the next study would lie",
        "The average over the studies, with the range in which the true result of one more study like them "
        "is expected.",
        "the unit of the studies, often standard deviations (SD)",
        "above zero: better on average",
        "higgins-2009",
    ),
    Word(
        "heterogeneity",
        "how far true results lie apart",
        "How much the studies would still differ from one another if each had tested any number of students.",
        "the unit of the studies, often standard deviations (SD)",
        "zero: all studies measure one and the same result",
        "viechtbauer-2005",
    ),
    Word(
        "heterogeneity_share",
        "share of the scatter that is more than chance",
        "Of all the scatter among the results of the studies, the share that chance does not explain. "
        "It says nothing about how large the scatter is.",
        "share, 0 to 1",
        "0: chance explains the scatter",
        "higgins-thompson-2002",
    ),
    Word(
        "heterogeneity_q",
        "test of whether studies differ",
        "Whether the results of several studies lie further apart than chance would put them. "
        "With few studies it misses much.",
        "none",
        "higher: further apart",
        "cochran-1954",
    ),
    Word(
        "replication_prediction",
        "where a repeated study would lie",
        "The original result, with the range in which the result of the repeated study would not be surprising if both "
        "measure the same. A wide range says little.",
        "the unit of both studies, often standard deviations (SD)",
        "above zero: better in the original",
        "patil-2016",
    ),
    Word(
        "replication_difference",
        "repeated study minus original",
        "By how much the result of the repeated study lies above the original one.",
        "the unit of both studies, often standard deviations (SD)",
        "below zero: less than in the original",
        "hedges-schauer-2019",
    ),
    Word(
        "replication_q",
        "test of whether two studies differ",
        "Whether original and repeated study lie further apart than chance would put them. "
        "Two small studies seldom do, so this alone does not show that they agree.",
        "none",
        "higher: further apart",
        "hedges-schauer-2019",
    ),
    Word(
        "small_telescopes",
        "repeated study against what the original could see",
        "By how much the repeated study lies above the smallest result that the original, with its number of students, "
        "had a one-in-three chance to notice.",
        "the unit of both studies, often standard deviations (SD)",
        "below zero: too small for the original to see",
        "simonsohn-2015",
    ),
    Word(
        "equivalence",
        "test of being too small to matter",
        "Whether a result is surely nearer to zero than the size that was set beforehand as the smallest that matters.",
        "the unit of the result",
        "",
        "schuirmann-1987",
    ),
    Word(
        "equivalence_groups",
        "test of groups being near enough",
        "Whether the averages of two groups are surely nearer to each other than the difference that was set "
        "beforehand "
        "as the smallest that matters.",
        "points or share of the points",
        "above zero: program group higher",
        "schuirmann-1987",
    ),
    Word(
        "equivalence_gain",
        "test of a gain too small to matter",
        "Whether the average gain is surely nearer to zero than the gain that was set beforehand as the smallest that "
        "matters.",
        "points or share of the points",
        "above zero: scores rose",
        "schuirmann-1987",
    ),
    Word(
        "hedges_g_from_t",
        "printed difference against the spread of scores",
        "The difference of two groups measured by how far apart students are within them, worked out from what a text "
        "printed.",
        "standard deviations (SD), both groups together",
        "above zero: program group higher",
        "hedges-1981",
    ),
    Word(
        "d_change_from_t",
        "printed consistency of change",
        "How alike the students' gains were, worked out from what a text printed. It does not say how large "
        "the gain is.",
        "standard deviations (SD) of the gains",
        "higher: gains are more alike",
        "lakens-2013",
    ),
    Word(
        "d_average_from_summary",
        "printed gain against the spread of both tests",
        "The average gain, measured by how far apart students were at the two tests taken together, worked "
        "out from what "
        "a text printed.",
        "standard deviations (SD), both tests averaged",
        "above zero: scores rose",
        "bonett-2008",
    ),
    Word(
        "correlation_from_r",
        "printed closeness of two tests",
        "How closely two tests go together, as a text printed it, with the interval that its number of "
        "students allows.",
        "correlation, -1 to 1",
        "higher: order of students more alike",
        "fisher-1925",
    ),
)
