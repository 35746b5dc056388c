"""What the ways of making an interval are called where they are tried."""

from __future__ import annotations

from collections.abc import Mapping

NAMES: Mapping[str, str] = {
    "mean_score": "average score, Student's t",
    "mean_gain": "average gain, Student's t",
    "mean_gain_bca": "average gain, corrected bootstrap",
    "mean_gain_percentile": "average gain, percentile bootstrap",
    "median_gain": "typical gain, Hodges and Lehmann",
    "d_pre": "gain in SD of the first test",
    "d_average": "gain in SD of both tests",
    "d_change": "gain in SD of gains",
    "normalized_gain": "share of the possible gain, Fieller",
    "probability_of_superiority_paired": "how often the second score is higher",
    "correlation": "correlation, Fisher",
    "correlation_bca": "correlation, corrected bootstrap",
    "correlation_percentile": "correlation, percentile bootstrap",
    "share_wilson": "share, Wilson",
    "share_exact": "share, Clopper and Pearson",
    "share_change_newcombe": "change of a share, Newcombe",
    "share_change_bonett_price": "change of a share, Bonett and Price",
    "mean_difference": "difference of averages, Student's t",
    "mean_difference_welch": "difference of averages, Welch",
    "median_difference": "typical difference, Hodges and Lehmann",
    "hedges_g": "difference in SD, Hedges' g",
    "glass_delta": "difference in SD of the comparison group",
    "d_average_groups": "difference in average SD, Bonett",
    "prepost_control_d": "difference of gains in SD of the first test",
    "gain_difference_g": "second g less first g",
    "adjusted_g": "difference in SD, adjusted for the first test",
    "probability_of_superiority": "how often the program group is higher",
    "cliffs_delta": "more often higher than lower, Cliff",
    "share_difference_newcombe": "difference of shares, Newcombe",
    "share_difference_agresti_caffo": "difference of shares, Agresti and Caffo",
    "cronbach_alpha": "Cronbach's alpha, Feldt",
    "cronbach_alpha_bca": "Cronbach's alpha, corrected bootstrap",
    "kr20": "KR-20 of notes right or wrong, Feldt",
    "kr20_bca": "KR-20 of notes right or wrong, corrected bootstrap",
    "spearman_brown": "two halves of a test, Spearman and Brown",
    "icc_single": "two raters: one of them (ICC)",
    "icc_average": "two raters: their average (ICC)",
    "percent_agreement": "two raters: same score",
    "kappa_weighted": "two raters: weighted kappa",
    "krippendorff_alpha": "two raters: Krippendorff's alpha",
    "limit_of_agreement_low": "two raters: lower limit of differences",
    "mean_gain_choirs": "average gain, each choir once",
    "mean_gain_choirs_ignored": "average gain, choirs ignored",
    "cluster_mean_difference": "difference of choirs' averages",
    "cluster_mean_difference_adjusted": "difference of choirs' averages, adjusted for the first test",
    "icc_clusters": "likeness inside choirs (ICC)",
    "share_clusters": "share of students in choirs, Korn and Graubard",
}
"""Way, as in ``kit.questions.coverage.ways`` -> its name: what is estimated, and how the interval is made."""

CONTRAST = (
    "mean_gain_bca", "mean_gain_percentile", "correlation_bca", "correlation_percentile", "mean_gain_choirs_ignored",
)  # fmt: skip
"""Ways that no report takes; they stand beside those that reports take, to show what is gained or lost."""
