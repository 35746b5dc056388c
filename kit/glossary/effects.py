"""Words for sizes between groups, superiority and resampling."""

from __future__ import annotations

from kit.glossary.word import Word

WORDS = (
    Word(
        "glass_delta", "difference in spreads of the comparison group",
        "How far the averages of the two groups lie apart, counted in standard deviations of the comparison group, "
        "whose spread the program cannot have changed.",
        "standard deviations", "above zero: the program group is higher", "glass-1976",
    ),
    Word(
        "d_average_groups", "difference in average spreads",
        "How far the averages of the two groups lie apart, counted in standard deviations averaged over both groups. "
        "For groups whose scores are spread differently.",
        "standard deviations", "above zero: the program group is higher", "bonett-2008",
    ),
    Word(
        "prepost_control_d", "difference of gains in spreads of the first test",
        "How much more the program group gained than the comparison group, counted in standard deviations of the "
        "first test.",
        "standard deviations", "above zero: the program group gained more", "morris-2008",
    ),
    Word(
        "gain_difference_g", "change of the difference between groups",
        "How far the groups lay apart at the second test, less how far at the first, each counted in that test's own "
        "standard deviations.",
        "standard deviations", "above zero: the program group moved ahead", "wwc-2022",
    ),
    Word(
        "adjusted_g", "difference adjusted for the first score",
        "How far students of the two groups with the same first score lie apart at the second test, counted in "
        "standard deviations of all second scores.",
        "standard deviations", "above zero: the program group is higher", "wwc-2022",
    ),
    Word(
        "cox_index", "difference of two shares in spreads",
        "What difference of averages, in standard deviations, would go with these two shares if a mark had been cut "
        "from a score.",
        "standard deviations", "above zero: the program group has the larger share", "sanchez-meca-2003",
    ),
    Word(
        "percentile_gain", "gain in percentiles",
        "To which percentile of the comparison group the average of the program group would come, less fifty.",
        "percentiles", "above zero: the program group is higher", "wwc-2022",
    ),
    Word(
        "probability_of_superiority", "how often the program group is higher",
        "If one student of each group is picked by chance: how often the student of the program group has the higher "
        "score. Equal scores count half.",
        "share", "above one half: the program group is higher", "vargha-delaney-2000",
    ),
    Word(
        "probability_of_superiority_paired", "how often the second score is higher",
        "Share of the students whose second score is higher than their first. Students who did not change count half.",
        "share", "above one half: more students rose than fell", "grissom-kim-2012",
    ),
    Word(
        "cliffs_delta", "how much more often higher than lower",
        "If one student of each group is picked by chance: how often the student of the program group has the higher "
        "score, less how often the lower.",
        "share, from -1 to 1", "above zero: the program group is higher", "cliff-1993",
    ),
    Word(
        "median_difference", "typical difference",
        "The difference in the middle when every student of one group is set beside every student of the other. "
        "A few very high or very low scores do not move it.",
        "points or share of the points", "above zero: the program group is higher", "hollander-wolfe-1999",
    ),
    Word(
        "share_difference_agresti_caffo", "difference of shares, drawn towards zero",
        "How far a share in the program group lies above that in the comparison group, after one student with and one "
        "without are added to each group.",
        "share", "above zero: the program group has the larger share", "agresti-caffo-2000",
    ),
    Word(
        "share_change_bonett_price", "change of a share, drawn towards zero",
        "By how much a share of the same students changed, after one student who gained and one who lost are added.",
        "share", "above zero: more gained than lost", "bonett-price-2012",
    ),
)  # fmt: skip
