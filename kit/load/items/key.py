"""The key of a test as the marks of single notes are read by it: which notes a form and a melody have."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import pandas as pd

from kit.load.opened import word_key


@dataclass(frozen=True, slots=True)
class ItemTags:
    """One note of the key: where it stands, and its tags; tags stay empty where there is no key."""

    form: str
    melody: str
    item: int
    degree: int | None = None
    alter: int | None = None
    approached_by: str = ""
    drilled: bool | None = None


@dataclass(slots=True)
class ItemKey:
    """The notes of each form and melody, in the order of the key.

    Attributes
    ----------
    forms : mapping of str to mapping of str to mapping of int to ItemTags
        Form -> melody -> place in the melody -> note, forms and melodies as they are compared; empty without a key.
    """

    forms: Mapping[str, Mapping[str, Mapping[int, ItemTags]]]
    _lists: dict[tuple[str, str], tuple[ItemTags, ...]] = field(default_factory=dict)

    @classmethod
    def of(cls, keys: pd.DataFrame | None, measure: str) -> ItemKey:
        """Make the key of one measure from the table that `kit.load.items.keys.read_keys` gives."""
        forms: dict[str, dict[str, dict[int, ItemTags]]] = {}
        if keys is None or not len(keys):
            return cls(forms)
        wanted = keys[keys.measure == measure]
        columns = ("form", "melody", "item", "degree", "alter", "approached_by", "drilled")
        for values in wanted[list(columns)].astype(object).itertuples(index=False, name=None):
            tags = ItemTags(*(None if value is pd.NA else value for value in values))
            forms.setdefault(word_key(tags.form), {}).setdefault(word_key(tags.melody), {})[int(tags.item)] = tags
        return cls(forms)

    def form(self, form: str) -> str | None:
        """Find the form that a row means, as it is compared; a row that names none means the only one."""
        if not form and len(self.forms) == 1:
            return next(iter(self.forms))
        return word_key(form) if word_key(form) in self.forms else None

    def note(self, form: str, melody: str, item: int) -> ItemTags | None:
        """Find one note; without a melody, that of the only one."""
        melodies = self.forms.get(form, {})
        if not melody and len(melodies) == 1:
            melody = next(iter(melodies))
        return melodies.get(word_key(melody), {}).get(item)

    def notes(self, form: str, melody: str) -> tuple[ItemTags, ...]:
        """List the notes of a melody in order, or of the whole form where no melody is named."""
        place = (form, word_key(melody))
        if place not in self._lists:
            melodies = self.forms.get(form, {})
            wanted = [melodies.get(place[1], {})] if melody else melodies.values()
            self._lists[place] = tuple(notes[item] for notes in wanted for item in sorted(notes))
        return self._lists[place]
