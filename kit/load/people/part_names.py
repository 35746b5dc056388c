"""Names too short to point to one person, and the full names that they could be short for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from kit.load.people.keys import could_be

_MOST = 6
"""Initials by which names are looked up at most."""


class FullNames:
    """The full names of a study, found by a word or by their initials, so that not each is compared with each.

    Parameters
    ----------
    names : iterable of str
        Names as `kit.load.people.keys.name_key` gives them.
    """

    def __init__(self, names: Iterable[str]) -> None:
        self._by_word: dict[str, list[str]] = defaultdict(list)
        self._by_initials: dict[str, list[str]] = defaultdict(list)
        self._found: dict[str, frozenset[str]] = {}
        for name in dict.fromkeys(names):
            words = name.split()
            for word in set(words):
                self._by_word[word].append(name)
            initials = "".join(word[0] for word in words)
            lengths = range(1, min(len(words), _MOST) + 1)
            for part in {initials[:length] for length in lengths} | {initials[-length:] for length in lengths}:
                self._by_initials[part].append(name)

    def fitting(self, partial: str) -> frozenset[str]:
        """Find every full name that a shortened one could be.

        Parameters
        ----------
        partial : str
            A name of one word, or with initials.

        Returns
        -------
        frozenset of str
            As `kit.load.people.keys.could_be` judges.
        """
        if partial not in self._found:
            words = [word.strip(".") for word in partial.split()]
            whole = next((word for word in words if len(word) > 1), "")
            initials = "".join(words)
            ends = {initials[:_MOST], initials[-_MOST:]}
            among = (
                self._by_word.get(whole, ())
                if whole
                else (name for end in ends for name in self._by_initials.get(end, ()))
            )
            self._found[partial] = frozenset(name for name in among if name != partial and could_be(partial, name))
        return self._found[partial]
