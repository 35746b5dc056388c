"""Words for equating, missing data, series and several tests at once."""

from __future__ import annotations

from kit.glossary.word import Word

WORDS = (
    Word(
        "equate_mean", "difference between two forms of the test",
        "How many points must be added to a score on the first form to make it worth the same on the second, if the "
        "forms differ equally for weak and strong students.",
        "points", "above zero: first form harder", "kolen-brennan-2004",
    ),
    Word(
        "equate_linear", "average difference between two forms, straight line",
        "How many points are added on average to a score on the first form, if the forms may differ more for strong "
        "students than for weak ones, or less, along a straight line.",
        "points", "above zero: first form harder", "kolen-brennan-2004",
    ),
    Word(
        "equate_equipercentile", "average difference between two forms, rank by rank",
        "How many points are added on average to a score on the first form, if scores are worth the same when the "
        "same share of students lies below them.",
        "points", "above zero: first form harder", "kolen-brennan-2004",
    ),
    Word(
        "imputed", "value with missing scores filled in",
        "The value when each missing score is filled in many times over from the scores that are there. Its interval "
        "also holds the uncertainty of not knowing.",
        "as the value filled in for", "", "van-buuren-2018",
    ),
    Word(
        "worst_case_bounds", "value in the worst case of missing scores",
        "The value if every missing score had been as low as possible, or as high as possible. For everyone together "
        "it lies between those two, up to chance.",
        "points or share of the points", "above zero: scores rose, or program group higher", "horowitz-manski-2000",
    ),
    Word(
        "attrition_boundary", "largest difference in losses that counts as low",
        "How far the shares of students lost from two groups may lie apart, given how many were lost in all, before "
        "reviewers count the groups as no longer comparable.",
        "share, 0 to 1", "", "wwc-2020",
    ),
    Word(
        "nap", "how often a later observation is better",
        "Of all pairs of one observation before the change and one after it, the share in which the later one is "
        "better. One half means no difference.",
        "share, 0 to 1", "above one half: better after the change", "parker-vannest-2009",
    ),
    Word(
        "tau", "later observations better minus worse",
        "Of all pairs of one observation before the change and one after it, the share in which the later one is "
        "better minus the share in which it is worse.",
        "share, -1 to 1", "above zero: better after the change", "parker-2011",
    ),
    Word(
        "tau_trend_corrected", "later observations better minus worse, earlier trend taken off",
        "Later observations better minus worse, less the rise that was under way before the change. Only part of a "
        "steady rise is taken off.",
        "share, about -1 to 1", "above zero: better after the change", "parker-2011",
    ),
)  # fmt: skip
