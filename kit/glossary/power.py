"""Words for planning and power."""

from __future__ import annotations

from kit.glossary.word import Word

WORDS = (
    Word(
        "detectable_difference", "smallest difference between groups of students this study could notice",
        "If the true difference were smaller than this, a study with so many students, assigned one by one, would "
        "probably miss it.",
        "standard deviations (SD) of the second test", "lower: finer differences can be noticed", "cohen-1988",
    ),
    Word(
        "detectable_difference_clusters", "smallest difference between groups of choirs this study could notice",
        "If the true difference were smaller than this, a study with so many whole choirs would probably miss it. "
        "The number of choirs matters most, because singers of one choir are alike.",
        "standard deviations (SD) of all students' scores", "lower: finer differences can be noticed",
        "dong-maynard-2013",
    ),
    Word(
        "detectable_difference_staggered", "smallest difference that a staggered start could notice",
        "If the true difference were smaller than this, so many choirs that begin one after another, all tested at "
        "every date, would probably miss it.",
        "standard deviations (SD) of all students' scores", "lower: finer differences can be noticed",
        "hussey-hughes-2007",
    ),
    Word(
        "choirs_needed", "choirs needed",
        "How many choirs, both groups together, a study needs to notice a difference of the size asked for four times "
        "in five, or as often as is asked for.",
        "choirs", "", "dong-maynard-2013",
    ),
    Word(
        "power_simulated", "how often a study of this kind would notice the difference",
        "The computer draws thousands of studies in which the difference is truly there, and counts how many of them "
        "notice it.",
        "share of simulated studies", "higher: the study is less likely to miss it", "raudenbush-1997",
    ),
    Word(
        "smallest_permutation_p", "smallest chance that shuffling choirs could show",
        "With few choirs there are few ways to assign them, so chance alone would bring the most extreme of all "
        "results this often. A study cannot be more surprising than that.",
        "share of all ways to assign the choirs", "lower: the study can be more convincing", "edgington-onghena-2007",
    ),
)  # fmt: skip
