"""The tables of syllables, held against music21 (>= 9, a general library of music theory) and a printed series."""

from __future__ import annotations

from functools import cache

import pytest
from music21 import pitch, scale

from kit.load.declared_music import Syllables
from kit.load.notes import Note
from kit.load.syllables.read import label, read_syllables
from kit.load.syllables.systems import MOVABLE, TWO_READINGS, read_tonic, vocabulary

KEYS = ["C", "G", "D", "A", "E", "B", "F#", "C#", "F", "Bb", "Eb", "Ab", "Db", "Gb", "Cb"]
NATURAL = "CDEFGAB"
PITCHES = [letter + sign for letter in NATURAL for sign in ("", "#", "-")]


def theirs(name):
    """Write the name of a pitch the way music21 does."""
    return name[0] + name[1:].replace("b", "-")


@cache
def place_in(key, name):
    """Give degree and alteration of a pitch in a major key, by music21."""
    degree, accidental = scale.MajorScale(theirs(key)).getScaleDegreeAndAccidentalFromPitch(pitch.Pitch(name))
    return degree, int(accidental.alter) if accidental else 0


@pytest.mark.parametrize("name", [name for name in PITCHES if name not in ("C-", "F-", "E#", "B#")])
@pytest.mark.parametrize("key", ["C"])
def test_sharps_in_i_and_flats_in_e_are_those_of_music21(key, name):
    """Each note of the chromatic scale has the syllable that music21 gives it (MajorScale.solfeg, humdrum variant)."""
    system = Syllables(system="movable_i_up_e_down")
    syllable = scale.MajorScale(key).solfeg(pitch.Pitch(name), variant="humdrum", chromatic=True)
    degree, alter = place_in(key, name)
    assert label(Note(degree, alter), system) == syllable
    assert read_syllables(syllable, system).notes == (Note(degree, alter),)


@pytest.mark.parametrize("key", KEYS)
def test_english_letters_are_the_degrees_of_music21(key):
    """Every letter name has the degree and alteration that music21 finds in the key."""
    system = Syllables(system="letters_english", tonic=key)
    for name in PITCHES:
        degree, alter = place_in(key, name)
        sung = read_syllables(name.replace("-", "b"), system)
        assert sung.notes == ((Note(degree, alter),) if abs(alter) <= 1 else ()), name
        assert sung.fault == ("" if abs(alter) <= 1 else "syllable_unknown")


@pytest.mark.parametrize("key", KEYS)
def test_german_letters_are_those_of_music21(key):
    """Every German name (music21's Pitch.german) has its degree; B is B flat, H is B, also as the key."""
    system = Syllables(system="letters_german", tonic=pitch.Pitch(theirs(key)).german)
    for name in PITCHES:
        place = place_in(key, name)
        expected = (Note(*place),) if abs(place[1]) <= 1 else ()
        assert read_syllables(pitch.Pitch(name).german, system).notes == expected, name


@pytest.mark.parametrize("spelling", ["french", "spanish", "italian"])
@pytest.mark.parametrize("key", KEYS)
def test_fixed_do_with_si_is_that_of_music21(key, spelling):
    """Every Romance name (music21's Pitch.french, .spanish, .italian) has its degree in the declared key."""
    system = Syllables(system="fixed_si", tonic=key)
    for name in PITCHES:
        place = place_in(key, name)
        expected = (Note(*place),) if abs(place[1]) <= 1 else ()
        assert read_syllables(getattr(pitch.Pitch(name), spelling), system).notes == expected, name


def test_fixed_do_in_g():
    """In G, sol is the key note and fa sharp the seventh; ti is no note where si is."""
    system = Syllables(system="fixed_si", tonic="G")
    assert read_syllables("sol la si do re mi fa# sol'", system).text == "1 2 3 4 5 6 7 1'"
    assert read_syllables("fa", system).text == "b7"
    assert read_syllables("ti", system).fault == "syllable_unknown"
    assert read_syllables("sol ti", Syllables(system="fixed_ti", tonic="G")).text == "1 3"


def test_sharps_in_e_and_flats_in_a_are_the_printed_series():
    """Up d de r re m f fe s se l le t, down t ta l la s sa f m ma r ra d: encyclopedia entries on tonic sol-fa."""
    system = Syllables(system="movable_e_up_a_down", rest=("x",))
    up = "d de r re m f fe s se l le t d'"
    down = "t ta l la s sa f m ma r ra d"
    assert read_syllables(up, system).text == "1 #1 2 #2 3 4 #4 5 #5 6 #6 7 1'"
    assert read_syllables(down, system).text == "7 b7 6 b6 5 b5 4 3 b3 2 b2 1"
    assert read_syllables("doh ray me fah soh lah te", system).text == "1 2 3 4 5 6 7"


@pytest.mark.parametrize(("word", "text"), [("raw", "b2"), ("maw", "b3"), ("law", "b6"), ("taw", "b7"), ("ba", "#4"), ("bay", "#4")])  # fmt: skip
def test_other_spellings_with_flats_in_a(word, text):
    """Flats spelt raw, maw, law, taw; ba is the raised sixth of la-based minor."""
    assert read_syllables(word, Syllables(system="movable_e_up_a_down")).text == text


@pytest.mark.parametrize(("word", "text"), [("di", "#1"), ("ri", "#2"), ("fi", "#4"), ("si", "#5"), ("li", "#6"), ("ma", "b3"),
                                            ("ta", "b7"), ("lo", "b6"), ("la-flat", "b6"), ("szo", "5"), ("la", "6"), ("re", "2")])  # fmt: skip
def test_sharps_in_i_and_flats_in_a(word, text):
    """Raised notes as in one system and lowered ones as in the other (partly from memory, as the module says)."""
    assert read_syllables(word, Syllables(system="movable_i_up_a_down")).text == text


SPELT = {1: "do doh doe dough", 2: "ray rey", 3: "mi", 4: "fa fah far", 5: "so sol soh sō", 6: "lah", 7: "ti tee"}


@pytest.mark.parametrize("system", MOVABLE)
@pytest.mark.parametrize(("degree", "words"), SPELT.items())
def test_spellings_of_the_scale(system, degree, words):
    """Every spelling of a note of the scale is that note in every system with a movable do, in any case."""
    for word in words.split():
        assert read_syllables(word, Syllables(system=system)).text == str(degree)
        assert read_syllables(word.upper(), Syllables(system=system)).text == str(degree)


def test_words_with_two_readings_have_them():
    """Each word said to have two readings names different notes in two of the systems, or a beat or a rest in one."""
    found = {}
    for system in (*MOVABLE, "fixed_si"):
        for word, place in vocabulary(Syllables(system=system, tonic="C")).words.items():
            found.setdefault(word, set()).add(place)
    assert {word for word in TWO_READINGS if len(found.get(word, ())) < 2} == {"ta", "r"}


@pytest.mark.parametrize(("tonic", "system", "expected"), [
    ("G", "fixed_si", (4, 0)), ("sol", "fixed_si", (4, 0)), ("sib", "fixed_si", (6, -1)), ("Bb", "letters_english", (6, -1)),
    ("B♭", "letters_english", (6, -1)), ("B", "letters_english", (6, 0)), ("B", "letters_german", (6, -1)),
    ("H", "letters_german", (6, 0)), ("Es", "letters_german", (2, -1)), ("Bb", "letters_german", (6, -1)),
    ("H", "letters_english", None), ("", "letters_english", None), ("Fbb", "letters_english", None), ("Q", "fixed_si", None),
])  # fmt: skip
def test_key_notes(tonic, system, expected):
    """A key is named in the system's own names, or in English letters where these are not other notes."""
    assert read_tonic(tonic, system) == expected


@pytest.mark.parametrize(("tonic", "said"), [("", "the study file does not say the key."), ("Q", '"Q" is no key that the kit knows.')])  # fmt: skip
def test_fixed_names_need_a_key(tonic, said):
    """Fixed names without a key name no degree, and the finding says so."""
    sung = read_syllables("sol la", Syllables(system="fixed_si", tonic=tonic))
    assert (sung.fault, sung.text) == ("syllable_unclear", "")
    assert sung.found == f"These names stand for fixed pitches, and {said}"


def test_numbers():
    """Signs stand before or after a number, -7 is the lowered seventh, 8 the high 1, and 0 a rest only if declared."""
    numbers = Syllables(system="numbers")
    assert read_syllables("7 b7 7b -7 ♭7 #4 4# 8", numbers).text == "7 b7 b7 b7 b7 #4 #4 1'"
    assert read_syllables("1 0 5", numbers).fault == "syllable_unclear"
    assert read_syllables("1 0 5", numbers).found == '"0" can be a rest or a mark.'
    assert read_syllables("1 0 5", Syllables(system="numbers", zero_is_rest=True)).text == "1 0 5"
    assert read_syllables("1 -3 5", numbers).fault == "syllable_unclear"


def test_numbered_notation():
    """0 is a rest, a dash holds, dots are octaves."""
    system = Syllables(system="numbered_notation")
    assert read_syllables("5 - 3 0", system).text == "5 - 3 0"
    assert read_syllables("5̣ 1̇ 6. 5--", system).text == "5, 1' 6, 5 - -"
    assert read_syllables("5035", system).text == "5 0 3 5"


def test_sargam():
    """Sa is the key note; komal and tivra alter; a letter whose case may alter it is refused."""
    system = Syllables(system="sargam")
    assert read_syllables("sa re ga ma pa dha ni sa'", system).text == "1 2 3 4 5 6 7 1'"
    assert read_syllables("komal re tivra ma komal ni", system).text == "b2 #4 b7"
    assert read_syllables("S R G m P D N", system).text == "1 2 3 4 5 6 7"
    assert read_syllables("S r M", system).found == (
        '"r" can be the lowered second or the second. "M" can be the raised fourth or the fourth.'
    )


def test_vowels():
    """A neutral syllable carries no degree."""
    assert read_syllables("loo la la", Syllables(system="neutral")).text == "n n n"
    assert read_syllables("loo do", Syllables(system="movable_i_up_e_down")).text == "n 1"
    assert read_syllables("do", Syllables(system="neutral")).fault == "syllable_unknown"
