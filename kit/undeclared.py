"""School files read before anything is declared: what they are, and what they themselves turn out to need."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from kit.errors import StudyProblems
from kit.load.columns import field_of
from kit.load.declared import RosterSource, Rules, ScoreSource, Source
from kit.load.files import Loaded, load_files
from kit.load.kinds import guess_sources
from kit.load.suggest import Suggestion
from kit.load.system_guess import propose_system

OCCASIONS = ("pre", "mid", "post", "later")
"""Names that undeclared occasions get, in the order of time."""
ROSTER_ONLY = frozenset({"school", "approach", "grade", "voice_part", "experience", "consent", "moved_to"})
"""What a list of students tells and marks do not."""
PROPOSED = ("id_width",)
"""Settings that are proposed where files need them; every other one has two readings and is asked."""


@dataclass(frozen=True, slots=True)
class Undeclared:
    """Files as read with nothing declared.

    Attributes
    ----------
    loaded : Loaded
        The tables, with the proposals below in force.
    settled : dict of str to str
        Line of the study file that was needed -> what was found.
    evidence : dict of (type, str) to tuple of str
        Kind of source and file -> what its texts say about its syllables.
    """

    loaded: Loaded
    settled: dict[str, str]
    evidence: dict[tuple[type, str], tuple[str, ...]]


def read_undeclared(folder: Path, files: Sequence[Path]) -> Undeclared:
    """Read files of any kind with nothing declared.

    Parameters
    ----------
    folder : Path
        Where the files are.
    files : sequence of Path
        The files.

    Returns
    -------
    Undeclared
        Read again until nothing more is learned: words for occasions in one file help to read another, lost zeros of
        ids call for a width, and the texts of drill logs point to a syllable system.
    """
    sources = [source for path in files for source in guessed_sources(path)]
    loaded = load_files(folder, sources)
    settled = _settled(loaded)
    proposed = [propose_system(folder / source.file, _filled(source, loaded)) for source in sources]
    systems = [getattr(source, "syllables", None) for source, _ in proposed]
    evidence = {(type(source), source.file): lines for source, lines in proposed if lines}
    occasions = occasion_words(loaded.suggestions)
    rules = Rules(**tomllib.loads("\n".join(settled)), occasions=occasions)
    if settled or occasions or any(systems):
        sources = [
            replace(source, syllables=system) if system else source
            for source, system in zip(sources, systems, strict=True)
        ]
        loaded = load_files(folder, sources, rules=rules)
    return Undeclared(_with_roster(folder, sources, loaded, rules), settled, evidence)


def guessed_sources(path: Path) -> list[Source]:
    """Guess the kinds of a file; one that cannot be opened is told as a problem when it is read."""
    try:
        return guess_sources(path)
    except StudyProblems:
        return [ScoreSource(file=path.name)]


def occasion_words(suggestions: Sequence[Suggestion]) -> dict[str, tuple[str, ...]]:
    """Gather the school's words for each occasion from the columns that hold them, in the order of time.

    Parameters
    ----------
    suggestions : sequence of Suggestion
        How the sheets were understood.

    Returns
    -------
    dict of str to tuple of str
        Occasion -> words; empty where no column holds any.
    """
    pairs = dict.fromkeys(pair for suggestion in suggestions for pair in suggestion.occasions)
    return {
        occasion: words
        for occasion in OCCASIONS
        if (words := tuple(word.capitalize() for word, meant in pairs if meant == occasion))
    }


def _with_roster(folder: Path, sources: Sequence[Source], loaded: Loaded, rules: Rules) -> Loaded:
    """Read marks as a list of students too, where nothing else lists them and the marks tell of schools or approaches.

    Not where that would set rows aside, as where each student has several rows.
    """
    rosters = [
        RosterSource(file=found.source.file)
        for found in loaded.suggestions
        if isinstance(found.source, ScoreSource) and ROSTER_ONLY & set(map(field_of, found.unread))
    ]
    if not rosters or any(isinstance(source, RosterSource) for source in sources):
        return loaded
    with_roster = load_files(folder, [*dict.fromkeys(rosters), *sources], rules=rules)
    before, after = (int(each.ledger["set_aside"].sum()) for each in (loaded, with_roster))
    return with_roster if after == before else loaded


def _settled(loaded: Loaded) -> dict[str, str]:
    """Find the settings that files need and that may be proposed."""
    return {
        problem.type_this: problem.found
        for problem in loaded.problems
        if problem.type_this.partition(" = ")[0] in PROPOSED
    }


def _filled(source: Source, loaded: Loaded) -> Source:
    """Find a source with the headings that were recognised for it."""
    same = (s.source for s in loaded.suggestions if s.source.file == source.file and type(s.source) is type(source))
    return next(same, source)
