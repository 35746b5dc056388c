"""Words for practice: accuracy, learning, forgetting, tries needed, what is left after a break."""

from __future__ import annotations

from kit.glossary.word import Word

WORDS = (
    Word(
        "degree_accuracy", "share of first tries right",
        "How large a share of first tries would be right if every one of these students had been asked. Notes that "
        "were seldom asked are drawn towards the others, so that a few lucky or unlucky tries do not decide.",
        "share of first tries", "higher: more first tries right", "rue-2009",
    ),
    Word(
        "learning_rate", "rise with practice",
        "How the chance of a right first try goes up with the times a pattern was practised before, for the same "
        "number of days since. It describes what went together.",
        "log-odds for each step of log practice", "above zero: more right tries after more practice", "bates-2015",
    ),
    Word(
        "forgetting_rate", "fading with days",
        "How the chance of a right first try changes with the days since a pattern was last practised, for the same "
        "amount of practice.",
        "log-odds for each step of log days", "below zero: fewer right tries after more days", "bates-2015",
    ),
    Word(
        "median_time", "time until half are there",
        "The time by which half have got there. Who has not got there yet is kept in the count.",
        "as recorded", "", "brookmeyer-crowley-1982",
    ),
    Word(
        "trials_to_criterion", "tries needed by half",
        "How many tries half of the students need until so many in a row are right. Students who have not reached "
        "that yet are kept in the count.",
        "tries", "lower: reached with fewer tries", "brookmeyer-crowley-1982",
    ),
    Word(
        "days_to_criterion", "days needed by half",
        "How many days after the first try half of the students have so many right tries in a row. Students who are "
        "seldom heard seem slow.",
        "days", "lower: reached sooner", "brookmeyer-crowley-1982",
    ),
    Word(
        "retention_change", "change over the break",
        "How much the share of right tries changed from the last day before a break to the first try after it, for "
        "the same students and patterns.",
        "share of tries", "below zero: fewer right tries after the break", "pustejovsky-tipton-2018",
    ),
    Word(
        "within_slope", "difference within choirs",
        "How much more or less students of one choir gained who were heard alone on five more days than others of "
        "their choir. What choirs differ in plays no part. It describes what went together.",
        "points for each step", "above zero: those heard more gained more", "pustejovsky-tipton-2018",
    ),
)  # fmt: skip
