"""Can the test carry what is asked of it: forms, raters, reliability, ceiling and floor, scoring noise."""

from __future__ import annotations

from kit.questions.quality.ends import ceiling_and_floor, without_the_ends
from kit.questions.quality.forms import crossover, forms_differ, forms_linked, shared_melodies
from kit.questions.quality.how import OWN_TEACHER, TESTS, HowTested, how_tested
from kit.questions.quality.items import reliability_here, single_notes
from kit.questions.quality.noise import changed_beyond_noise, scoring_noise
from kit.questions.quality.raters import notes_agree, raters_agree, twice_marked
from kit.questions.quality.reliability import UsedReliability, gains_told_apart, reliability_used

__all__ = [
    "OWN_TEACHER", "TESTS", "HowTested", "UsedReliability", "ceiling_and_floor", "changed_beyond_noise", "crossover",
    "forms_differ", "forms_linked", "gains_told_apart", "how_tested", "notes_agree", "raters_agree",
    "reliability_here", "reliability_used", "scoring_noise", "shared_melodies", "single_notes",
    "twice_marked", "without_the_ends",
]  # fmt: skip
