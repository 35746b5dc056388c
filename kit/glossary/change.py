"""Words for means, changes, sizes and shares."""

from __future__ import annotations

from kit.glossary.word import Word

WORDS = (
    Word(
        "count", "number",
        "How many there are on file. Nothing is estimated.",
        "students, or what is counted", "", "counting",
    ),
    Word(
        "mean_score", "average score",
        "All scores added up and shared out equally over the students who have one.",
        "points or share of the points", "higher: better scores", "student-1908",
    ),
    Word(
        "mean_gain", "average gain",
        "Second score minus first score, averaged over the students who took both tests. "
        "Some rose by more, some by less, and some may have fallen.",
        "points or share of the points", "above zero: scores rose", "student-1908",
    ),
    Word(
        "median_gain", "typical gain",
        "The gain in the middle: about half of the students gained more and half less. "
        "A few very large or very small gains do not move it.",
        "points or share of the points", "above zero: scores rose", "hollander-wolfe-1999",
    ),
    Word(
        "mean_difference", "difference of averages",
        "Average of the program group minus average of the comparison group, taking scores to be as spread out in "
        "one group as in the other.",
        "points or share of the points", "above zero: program group higher", "nist-handbook",
    ),
    Word(
        "mean_difference_welch", "difference of averages, own spreads",
        "Average of one group minus average of the other, where scores may be more spread out in one group than in "
        "the other.",
        "points or share of the points", "above zero: first-named group higher", "welch-1947",
    ),
    Word(
        "d_pre", "average gain against the spread of first scores",
        "The average gain, measured by how far apart students were at the first test. "
        "0.50 means a gain half as large as a typical student's distance from the average.",
        "standard deviations (SD) of the first test", "above zero: scores rose", "becker-1988",
    ),
    Word(
        "d_average", "average gain against the spread of both tests",
        "The average gain, measured by how far apart students were at the two tests taken together.",
        "standard deviations (SD), both tests averaged", "above zero: scores rose", "bonett-2008",
    ),
    Word(
        "d_change", "consistency of change",
        "How alike the students' gains are: large if nearly everyone gained about the same. "
        "It does not say how large the gain is.",
        "standard deviations (SD) of the gains", "higher: gains are more alike", "lakens-2013",
    ),
    Word(
        "hedges_g", "difference of averages against the spread of scores",
        "Average of the program group minus average of the comparison group, measured by how far apart students are "
        "within the groups.",
        "standard deviations (SD), both groups together", "above zero: program group higher", "hedges-1981",
    ),
    Word(
        "normalized_gain", "share of the possible gain",
        "Of all the points the class could still gain at the first test, the share it did gain. "
        "It favors classes that started high, so it must not be used to rank classes.",
        "share, 0 to 1", "1: everyone reached the top score", "hake-1998",
    ),
    Word(
        "share_wilson", "share of students",
        "The part of the students for whom something holds, such as a score that rose.",
        "share, 0 to 1", "", "newcombe-1998a",
    ),
    Word(
        "share_exact", "share of students, cautious interval",
        "The part of the students for whom something holds, with an interval that errs on the wide side.",
        "share, 0 to 1", "", "newcombe-1998a",
    ),
    Word(
        "share_difference_newcombe", "difference of shares",
        "Share of students in the program group minus share in the comparison group.",
        "share, -1 to 1", "above zero: program group higher", "newcombe-1998b",
    ),
    Word(
        "share_change_newcombe", "change of a share",
        "Share of the same students for whom something held at the second test, minus the share at the first test.",
        "share, -1 to 1", "above zero: it held for more students", "newcombe-1998c",
    ),
    Word(
        "share_change_midp", "test of a changed share",
        "Whether more students rose over a mark than fell below it, beyond what a coin toss for each of them would do.",
        "share, -1 to 1", "above zero: it held for more students", "fagerland-2013",
    ),
    Word(
        "correlation", "how closely two tests go together",
        "1 if students keep exactly their order and distances from one test to the other, 0 if the first score says "
        "nothing about the second.",
        "correlation, -1 to 1", "higher: order of students more alike", "fisher-1925",
    ),
    Word(
        "expected_regression", "movement expected by chance alone",
        "Students picked because they scored low were partly unlucky that day, and score nearer the average next "
        "time even if they learned nothing. This is by how much.",
        "points or share of the points", "above zero: upwards", "galton-regression",
    ),
    Word(
        "standard_error_of_measurement", "noise in one score",
        "How far one student's score typically lies from what the same student would score on average if tested "
        "many times on the same day.",
        "points or share of the points", "lower: a surer score", "aera-2014",
    ),
    Word(
        "detectable_change", "smallest change of one student beyond noise",
        "How much one student's score must change before noise in the two tests is an unlikely reason.",
        "points or share of the points", "lower: a surer test", "jacobson-truax-1991",
    ),
    Word(
        "detectable_gain", "smallest average gain this study could notice",
        "With this many students or choirs, an average gain smaller than this would probably have been missed.",
        "points, or standard deviations (SD) of the first test", "lower: a sharper study", "cohen-1988",
    ),
    Word(
        "share_clusters", "share of students in several choirs",
        "How many of all students it holds for. Singers of one choir are alike, so the interval is made with choirs as "
        "the units.",
        "share, 0 to 1", "", "korn-graubard-1998",
    ),
)  # fmt: skip
