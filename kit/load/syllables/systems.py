"""The systems of syllables, numbers and letters: which name stands for which degree, and which names have two readings.

The movable tables follow encyclopedia entries and teaching pages on sol-fa; in ``movable_i_up_a_down`` the lowered
second and sixth are from memory. Spellings are common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from kit.load.declared_music import Syllables

Place = tuple[int, int]
"""Degree of the scale and alteration, or letter (0 is C) and accidental."""

_SYLLABLES = {
    "movable_i_up_e_down": "1 do doh doe dough;#1 di;b2 ra;2 re ray rey;#2 ri;b3 me may;3 mi;4 fa fah far;#4 fi;"
    "b5 se say;5 so sol soh;#5 si;b6 le lay;6 la lah laa;#6 li;b7 te tay;7 ti tee",
    "movable_e_up_a_down": "1 doh do doe dough;#1 de;b2 ra raw;2 ray rey;#2 re;b3 ma maw;3 me mi;4 fah fa far;"
    "#4 fe ba bay;b5 sa;5 soh so sol;#5 se;b6 la law;6 lah laa;#6 le;b7 ta taw;7 te ti tee",
    "movable_i_up_a_down": "1 do doh doe dough;#1 di;b2 ra;2 re ray rey;#2 ri;b3 ma;3 mi;4 fa fah far;#4 fi;"
    "5 so szo sol soh;#5 si;b6 lo;6 la lah laa;#6 li;b7 ta;7 ti tee",
    "": "1 do doh doe dough;#1 di;2 ray rey;#2 ri;3 mi;4 fa fah far;#4 fi fe;5 so sol soh;6 lah laa;#6 li;7 ti tee",
    "sargam": "1 sa;2 re ri;3 ga;4 ma;5 pa;6 dha da;7 ni",
}
_LETTERS = {"d": (1, 0), "r": (2, 0), "m": (3, 0), "f": (4, 0), "s": (5, 0), "l": (6, 0), "t": (7, 0)}
_SARGAM_LETTERS = {
    "S": (1, 0), "s": (1, 0), "R": (2, 0), "G": (3, 0), "m": (4, 0), "P": (5, 0), "p": (5, 0), "D": (6, 0), "N": (7, 0),
}  # fmt: skip
_FIXED = {"fixed_si": "do ut;re;mi;fa;sol so;la;si", "fixed_ti": "do doh;re ray;mi;fa fah;so sol soh;la lah;ti tee"}
_SEMITONES = (0, 2, 4, 5, 7, 9, 11)
_ALTERS = {"": 0, "#": 1, "b": -1}
_ACCIDENTALS = {0: "", 1: "#", -1: "b", 2: "##", -2: "bb", 3: "###", -3: "bbb"}

MOVABLE = ("movable_i_up_e_down", "movable_e_up_a_down", "movable_i_up_a_down")
PITCHES = ("fixed_si", "fixed_ti", "letters_english", "letters_german")
NUMBERS = ("numbers", "numbered_notation")

TWO_READINGS = {
    "te": ("the lowered seventh", "the seventh"),
    "me": ("the lowered third", "the third"),
    "le": ("the lowered sixth", "the raised sixth"),
    "se": ("the lowered fifth", "the raised fifth"),
    "la": ("the sixth", "the lowered sixth"),
    "re": ("the second", "the raised second"),
    "si": ("the raised fifth", "the seventh"),
    "ta": ("the lowered seventh", "a beat"),
    "r": ("re", "a rest"),
}
"""Syllable -> what it means in one living system and in another."""

SARGAM_TWO_READINGS = {
    "M": ("the raised fourth", "the fourth"),
    "r": ("the lowered second", "the second"),
    "g": ("the lowered third", "the third"),
    "d": ("the lowered sixth", "the sixth"),
    "n": ("the lowered seventh", "the seventh"),
}
"""Single letters whose case carries the alteration for some writers and nothing for others (from memory)."""

RHYTHM = {"ta", "ti", "di", "de", "du", "too", "toe", "tiri", "tika", "titi", "taa"}
"""Words that name lengths or places in the beat."""

NEUTRAL = {"loo", "lu", "da"}
"""Vowels that a melody is sung on; ``la`` is one only where a whole melody is sung on it."""

_NEUTRAL_ONLY = NEUTRAL | {"la", "du", "doo", "na", "nah", "noo", "nu", "ah", "oo", "mm", "bum"}
"""Vowels where the study file declares that melodies are sung on vowels (common practice, no source)."""


EVERY_WORD = frozenset(
    [word for table in [*_SYLLABLES.values(), *_FIXED.values()] for word in table.replace(";", " ").split()]
    + [*RHYTHM, *_NEUTRAL_ONLY, *_LETTERS, *"abcdefgh", "x", "z"]
)
"""What is a syllable, letter or sign in some system; other words may be names of students and are never repeated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Vocabulary:
    """The names of one declared system.

    ``words`` are compared without regard to case, ``exact`` with it; ``letters`` are one-letter names. ``joined``
    lists the sets of names that may be written without space. ``foreign`` are words that belong to another system
    and read the same here; beside one of ``disputed`` they leave two readings. ``fault`` says why nothing can be
    read at all.
    """

    words: dict[str, Place] = field(default_factory=dict)
    letters: dict[str, Place] = field(default_factory=dict)
    exact: dict[str, Place] = field(default_factory=dict)
    joined: tuple[dict[str, Place], ...] = ()
    neutral: frozenset[str] = frozenset()
    foreign: frozenset[str] = frozenset()
    disputed: frozenset[str] = frozenset()
    two_readings: dict[str, tuple[str, str]] = field(default_factory=dict)
    labels: dict[Place, str] = field(default_factory=dict)
    fault: str = ""


def vocabulary(settings: Syllables) -> Vocabulary:
    """Give the names of a declared system, with degrees from the declared tonic where names are fixed.

    Parameters
    ----------
    settings : Syllables
        What the study file declares.

    Returns
    -------
    Vocabulary
        Every name with its degree and alteration.
    """
    system = settings.system
    if system in PITCHES:
        return _pitches(system, settings.tonic)
    if system in NUMBERS:
        return _numbers()
    if system == "sargam":
        return _sargam()
    if system == "neutral":
        return Vocabulary(neutral=frozenset(_NEUTRAL_ONLY))
    return _movable(system)


def _table(written: str) -> dict[str, Place]:
    """Read a table such as ``1 do doh;#1 di``."""
    places = {}
    for entry in written.split(";"):
        place, *names = entry.split()
        places |= dict.fromkeys(names, (int(place[-1]), _ALTERS[place[:-1]]))
    return places


def _first(names: dict[str, Place]) -> dict[Place, str]:
    """Give the first name of each place."""
    labels: dict[Place, str] = {}
    for name, place in names.items():
        labels.setdefault(place, name)
    return labels


def _with_signs(names: dict[str, Place]) -> dict[str, Place]:
    """Add the notes of the scale with a sharp or flat sign, such as ``fa#`` and ``lab``."""
    signed = {name + sign: (degree, alter) for name, (degree, plain) in names.items() if plain == 0
              for sign, alter in (("#", 1), ("b", -1))}  # fmt: skip
    return signed | names


def _movable(system: str) -> Vocabulary:
    """Give a system in which do is the key note; the undeclared one has only names with one reading."""
    names = _table(_SYLLABLES[system])
    tables = {other: _table(_SYLLABLES[other]) for other in MOVABLE}
    foreign, disputed = frozenset[str](), frozenset[str]()
    if system == "movable_e_up_a_down":
        foreign, disputed = frozenset({"mi", "ti", "tee"}), frozenset({"re", "la", "le", "se", "me", "te"})
    elif system == "movable_i_up_e_down":
        foreign, disputed = frozenset({"ray", "lah"}), frozenset({"le", "se", "me", "te"})
    unread = (
        {} if system else {name: pair for name, pair in TWO_READINGS.items() if any(name in t for t in tables.values())}
    )
    signed = _with_signs(names)
    return Vocabulary(
        words=signed, letters=_LETTERS, joined=(names, _LETTERS), neutral=frozenset(NEUTRAL), foreign=foreign,
        disputed=disputed, two_readings=unread, labels=_first(names | signed),
    )  # fmt: skip


def _sargam() -> Vocabulary:
    """Give sargam, in which sa is the key note; komal is written as a flat, tivra as a sharp."""
    names = _table(_SYLLABLES["sargam"])
    signed = _with_signs(names)
    return Vocabulary(
        words=signed, exact=_SARGAM_LETTERS, joined=(names, _SARGAM_LETTERS), two_readings=SARGAM_TWO_READINGS,
        labels=_first(names | signed),
    )  # fmt: skip


def _numbers() -> Vocabulary:
    """Give scale numbers; the sign of an alteration stands before or after. 8 is handled with the octaves."""
    plain = {str(degree): (degree, 0) for degree in range(1, 8)}
    before = {sign + name: (degree, alter) for name, (degree, _) in plain.items() for sign, alter in _ALTERS.items()}
    after = {name + sign: (degree, alter) for name, (degree, _) in plain.items() for sign, alter in _ALTERS.items()}
    words = before | after | {"-7": (7, -1)}
    return Vocabulary(words=words, joined=(plain | {"8": (8, 0)},), labels=_first(before))


def _pitches(system: str, tonic: str) -> Vocabulary:
    """Give names of fixed pitches as degrees above the tonic."""
    names = _pitch_names(system)
    key = read_tonic(tonic, system)
    if key is None:
        said = f'"{tonic}" is no key that the kit knows' if tonic else "the study file does not say the key"
        return Vocabulary(fault=f"These names stand for fixed pitches, and {said}.")
    words, labels = {}, {}
    for name, pitch in names.items():
        place = _above(pitch, key)
        words[name] = place
        labels.setdefault(place, name.capitalize() if system.startswith("letters") else name)
    joined: dict[str, Place] = {}
    if system == "letters_english":
        joined = {letter + sign: words[letter.lower() + sign] for letter in "ABCDEFG" for sign in _ALTERS}
    elif system.startswith("fixed"):
        joined = {name: words[name] for entry in _FIXED[system].split(";") for name in entry.split()}
    return Vocabulary(words=words, joined=(joined,) if joined else (), labels=labels)


def _pitch_names(system: str) -> dict[str, Place]:
    """Give every spelling of the fixed pitches, as letter and accidental."""
    if system.startswith("fixed"):
        stems = {name: letter for letter, entry in enumerate(_FIXED[system].split(";")) for name in entry.split()}
    elif system == "letters_german":
        stems = {name: "cdefgah".index(name) for name in "cdefgah"}
    else:
        stems = {name: "cdefgab".index(name) for name in "cdefgab"}
    if system != "letters_german":
        return {stem + sign: (letter, accidental) for accidental, sign in _ACCIDENTALS.items()
                for stem, letter in stems.items()}  # fmt: skip
    return _german(stems)


def _german(stems: dict[str, int]) -> dict[str, Place]:
    """Give the German letter names: h is the seventh letter, b its flat; es and as lose a vowel."""
    names: dict[str, Place] = {"b": (6, -1)}
    for stem, letter in stems.items():
        flat = "s" if stem in "ea" else "es"
        names |= {stem: (letter, 0), f"{stem}is": (letter, 1), f"{stem}isis": (letter, 2)}
        names |= {f"{stem}{flat}es": (letter, -2)} | ({} if stem == "h" else {f"{stem}{flat}": (letter, -1)})
        names |= {f"{stem}#": (letter, 1), f"{stem}isisis": (letter, 3), f"{stem}{flat}eses": (letter, -3)}
    return names


def read_tonic(tonic: str, system: str) -> Place | None:
    """Read the name of a key note: in the names of the system itself, or in English letters.

    Parameters
    ----------
    tonic : str
        Such as ``"G"``, ``"Bb"`` or ``"sol"``; in German letters ``"B"`` is B flat and ``"H"`` B.
    system : str
        One of the systems of fixed pitches.

    Returns
    -------
    (int, int) or None
        Letter (0 is C) and accidental; None for what is no key note with at most one sign.
    """
    name = tonic.strip().casefold().replace("♯", "#").replace("♭", "b")
    pitch = _pitch_names(system).get(name) or _pitch_names("letters_english").get(name)
    return pitch if pitch and abs(pitch[1]) <= 1 else None


def _above(pitch: Place, tonic: Place) -> Place:
    """Give degree and alteration of a pitch above the major scale of a tonic; alterations beyond one are kept."""
    steps = (pitch[0] - tonic[0]) % 7
    semitones = _SEMITONES[pitch[0]] + pitch[1] - _SEMITONES[tonic[0]] - tonic[1]
    alter = (semitones - _SEMITONES[steps] + 6) % 12 - 6
    return steps + 1, alter


def is_movable(system: str) -> bool:
    """Tell whether names give degrees, so that only the base of minor stands between them and the key note."""
    return system in ("", *MOVABLE, *NUMBERS)
