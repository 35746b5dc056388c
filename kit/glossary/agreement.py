"""Words for agreement and reliability."""

from __future__ import annotations

from kit.glossary.word import Word

WORDS = (
    Word(
        "icc_single", "agreement of single raters",
        "How much of the differences between scores lies between students and not between raters, if one rater scores "
        "each student. At 1 it makes no difference who scores.",
        "agreement, 1 at most", "higher: raters agree more", "shrout-fleiss-1979",
    ),
    Word(
        "icc_average", "agreement of averaged raters",
        "How much of the differences between students' averages over all these raters is real, and not left over from "
        "raters who disagree.",
        "agreement, 1 at most", "higher: a surer average", "shrout-fleiss-1979",
    ),
    Word(
        "percent_agreement", "share of students scored alike",
        "The part of the students to whom all raters gave the same score. Some of it is luck.",
        "share, 0 to 1", "higher: raters agree more", "newcombe-1998a",
    ),
    Word(
        "kappa_weighted", "agreement of two raters beyond chance",
        "How much better two raters agree on categories than if each had dealt out the same categories at random. "
        "0 is no better, 1 is always the same category.",
        "agreement, 1 at most", "higher: raters agree more", "cohen-1968",
    ),
    Word(
        "krippendorff_alpha", "agreement of all raters beyond chance",
        "How much better any number of raters agree than if ratings had been dealt out at random over the students; "
        "students need not have a rating from everyone.",
        "agreement, 1 at most", "higher: raters agree more", "krippendorff-2011",
    ),
    Word(
        "agreement_bias", "average difference between two raters",
        "How much higher the second rater scores the same students than the first, on average.",
        "points or share of the points", "above zero: the second rater is more generous", "bland-altman-1986",
    ),
    Word(
        "limit_of_agreement_low", "lower limit of differences between two raters",
        "The second rater will rarely be further below the first than this, for one student.",
        "points or share of the points", "nearer to zero: raters closer together", "bland-altman-1986",
    ),
    Word(
        "limit_of_agreement_high", "upper limit of differences between two raters",
        "The second rater will rarely be further above the first than this, for one student.",
        "points or share of the points", "nearer to zero: raters closer together", "bland-altman-1986",
    ),
    Word(
        "cronbach_alpha", "reliability of the total over items",
        "How much of the differences between total scores is shared by the items or melodies, and not the chance of "
        "which ones were asked.",
        "reliability, 1 at most", "higher: a surer total", "cronbach-1951",
    ),
    Word(
        "kr20", "reliability of a count of right answers",
        "How much of the differences between counts of right answers is shared by the items, and not the chance of "
        "which ones were asked.",
        "reliability, 1 at most", "higher: a surer count", "kuder-richardson-1937",
    ),
    Word(
        "spearman_brown", "reliability of a longer test",
        "How reliable a test would be that is made of two or more parts like these.",
        "reliability, 1 at most", "higher: a surer test", "spearman-brown-1910",
    ),
    Word(
        "gain_reliability", "reliability of single students' gains",
        "How much of the differences between students' gains is real, and not noise of the two tests. "
        "If it is low, students must not be compared by their gains; the average gain can still be sure.",
        "reliability, 1 at most", "higher: surer single gains", "lord-novick-1968",
    ),
    Word(
        "reliable_change", "share of students who changed beyond noise",
        "The part of the students whose score moved further than noise in the two tests easily explains.",
        "share, 0 to 1", "", "jacobson-truax-1991",
    ),
    Word(
        "item_difficulty", "share of students who got the item right",
        "The part of the students who got this item right.",
        "share, 0 to 1", "higher: an easier item", "crocker-algina-1986",
    ),
    Word(
        "item_discrimination", "how far an item tells readers apart",
        "How closely being right on this item goes together with the score on all other items. "
        "Near 0 the item measures something else, or nothing.",
        "correlation, -1 to 1", "higher: tells more", "crocker-algina-1986",
    ),
)  # fmt: skip
