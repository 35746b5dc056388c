"""What each declared rule says of what it looks at."""

from __future__ import annotations

import itertools
from typing import get_args

import pytest

from kit.errors import UnknownChoiceError
from kit.questions.replication.verdicts import Evidence, Rule, Verdict, verdict_of

NOTHING = {"same_way": False, "other_way": False, "inside": True, "prediction_tells": False, "negligible": False,
           "too_small": False}  # fmt: skip


def verdict(rule, **seen):
    """Apply a rule to evidence that is as given and otherwise settles nothing."""
    return verdict_of(rule, Evidence(**NOTHING | seen))


@pytest.mark.parametrize(
    ("rule", "seen", "word"),
    [
        ("same_direction", {}, "inconclusive"), ("same_direction", {"same_way": True}, "consistent"),
        ("same_direction", {"other_way": True}, "inconsistent"),
        ("same_direction", {"inside": False, "negligible": True}, "inconclusive"),
        ("prediction", {}, "inconclusive"), ("prediction", {"prediction_tells": True}, "consistent"),
        ("prediction", {"same_way": True}, "consistent"), ("prediction", {"inside": False, "same_way": True}, "inconsistent"),
        ("prediction", {"other_way": True}, "inconclusive"),
        ("equivalence", {"negligible": True, "same_way": True}, "no_meaningful_effect"),
        ("equivalence", {"same_way": True}, "consistent"), ("equivalence", {"other_way": True}, "inconsistent"),
        ("small_telescopes", {"too_small": True}, "too_small_for_the_original"),
        ("small_telescopes", {"too_small": True, "same_way": True}, "too_small_for_the_original"),
        ("small_telescopes", {"too_small": True, "other_way": True}, "inconsistent"),
        ("small_telescopes", {}, "inconclusive"),
        ("all_three", {"inside": False, "same_way": True}, "inconsistent"),
        ("all_three", {"negligible": True}, "no_meaningful_effect"), ("all_three", {"same_way": True}, "consistent"),
        ("all_three", {}, "inconclusive"),
    ],
)  # fmt: skip
def test_rules(rule, seen, word):
    """Each rule gives its word for what it looks at, and nothing for what it does not."""
    assert verdict(rule, **seen) == word


def test_no_rule_no_verdict():
    """Without a declared rule there is no verdict, whatever was seen."""
    for values in itertools.product([True, False], repeat=len(NOTHING)):
        assert verdict_of("none_declared", Evidence(**dict(zip(NOTHING, values, strict=True)))) == "none_declared"


def test_every_word_is_from_the_list():
    """Whatever was seen, every rule answers with a known word, and only without a rule with none_declared."""
    for rule in get_args(Rule):
        for values in itertools.product([True, False], repeat=len(NOTHING)):
            word = verdict_of(rule, Evidence(**dict(zip(NOTHING, values, strict=True))))
            assert word in get_args(Verdict)
            assert (word == "none_declared") == (rule == "none_declared")


def test_unknown_rules_are_refused():
    """A misspelt rule is refused with the list."""
    with pytest.raises(UnknownChoiceError) as word:
        verdict("replicated")
    assert str(word.value) == (
        "verdict_of: rule must be one of 'same_direction', 'prediction', 'equivalence', 'small_telescopes', 'all_three', "
        "'none_declared'. Got 'replicated'."
    )
