"""Which full names a short one could be: as one by one, and fast."""

from hypothesis import given, settings
from hypothesis import strategies as st

from kit.load.people.keys import could_be
from kit.load.people.part_names import FullNames

WORD = st.text(alphabet="ab.", min_size=1, max_size=3)
NAME = st.lists(WORD, min_size=1, max_size=9).map(" ".join)


@settings(max_examples=100, deadline=None)
@given(names=st.lists(NAME, max_size=12), partial=NAME)
def test_the_same_names_as_one_by_one(names, partial):
    """Looking names up by word and initials finds exactly those that comparing with each name finds."""
    assert FullNames(names).fitting(partial) == {name for name in names if name != partial and could_be(partial, name)}


def test_initials_and_single_words():
    """A. Lee, Lee and A L fit Ann Lee; B. Lee does not."""
    names = FullNames(["ann lee", "abe long lee"])
    assert names.fitting("a. lee") == {"ann lee"}
    assert names.fitting("lee") == {"ann lee", "abe long lee"}
    assert names.fitting("a l") == {"ann lee", "abe long lee"}
    assert names.fitting("b. lee") == frozenset()
