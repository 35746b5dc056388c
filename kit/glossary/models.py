"""Words for models: adjusted differences, growth of students in choirs, series with a change."""

from __future__ import annotations

from kit.glossary.word import Word

WORDS = (
    Word(
        "adjusted_difference", "difference for students who began alike",
        "How far the two approaches ended apart for students with the same first score.",
        "points", "above zero: the program is higher", "van-breukelen-2006",
    ),
    Word(
        "gain_difference", "difference of gains",
        "How far the average gains of the two approaches lie apart.",
        "points", "above zero: the program grew more", "van-breukelen-2006",
    ),
    Word(
        "mixed_difference", "difference with choirs seen as drawn from many",
        "How far the two approaches lie apart, with choirs seen as drawn from a great number of choirs, each with a "
        "level of its own.",
        "points", "above zero: the program is higher", "bates-2015",
    ),
    Word(
        "growth_model", "growth along a straight line",
        "How much scores grew for each unit of time, with a line for every student and, where there are choirs, for "
        "every choir. With a program asked about, how much more they grew with it.",
        "points for each unit of time", "above zero: scores grew", "laird-ware-1982",
    ),
    Word(
        "segmented_change", "change of a series",
        "How far a series of results jumped, or how much its pace changed, on the day something new began.",
        "points", "above zero: it rose", "wagner-2002",
    ),
)  # fmt: skip
