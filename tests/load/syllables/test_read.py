"""Texts to notes and back: each conflict of the living systems is refused or read as declared, and nothing raises."""

import time
from typing import get_args

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from kit.errors import UnknownChoiceError
from kit.load.declared_music import Syllables, SyllableSystem
from kit.load.notes import HOLD, NEUTRAL, REST, UNKNOWN, Note, read_notes, write_notes
from kit.load.syllables.degrees import degree_from_tonic, from_tonic
from kit.load.syllables.read import (
    LETTERS_ONLY,
    SPELT,
    Sung,
    label,
    neutral_notes,
    read_syllables,
    read_unique,
)
from kit.load.syllables.systems import vocabulary
from kit.reasons import REASONS

UP_I_DOWN_E = Syllables(system="movable_i_up_e_down")
UP_E_DOWN_A = Syllables(system="movable_e_up_a_down")
UP_I_DOWN_A = Syllables(system="movable_i_up_a_down")
UNDECLARED = Syllables()
DECLARED = [Syllables(system=system, tonic=tonic) for system in get_args(SyllableSystem) for tonic in ("G", "Bb")]


@pytest.mark.parametrize(("word", "up_i_down_e", "up_e_down_a", "said"), [
    ("te", "b7", "7", "the lowered seventh or the seventh"),
    ("me", "b3", "3", "the lowered third or the third"),
    ("le", "b6", "#6", "the lowered sixth or the raised sixth"),
    ("se", "b5", "#5", "the lowered fifth or the raised fifth"),
    ("la", "6", "b6", "the sixth or the lowered sixth"),
    ("re", "2", "#2", "the second or the raised second"),
])  # fmt: skip
def test_one_syllable_two_systems(word, up_i_down_e, up_e_down_a, said):
    """A syllable that two systems read differently is read as declared, and undeclared refused with both readings."""
    assert read_syllables(f"do {word}", UP_I_DOWN_E).text == f"1 {up_i_down_e}"
    assert read_syllables(f"do {word}", UP_E_DOWN_A).text == f"1 {up_e_down_a}"
    sung = read_syllables(f"do {word} so", UNDECLARED)
    assert (sung.fault, sung.text, sung.notes) == ("syllable_unclear", "", ())
    assert sung.found == f'"{word}" can be {said}.'


def test_si():
    """Si is the raised fifth, or in fixed do the seventh; undeclared it is refused."""
    assert read_syllables("si", UP_I_DOWN_E).text == read_syllables("si", UP_I_DOWN_A).text == "#5"
    assert read_syllables("si", Syllables(system="fixed_si", tonic="C")).text == "7"
    assert read_syllables("sol si", UNDECLARED).found == '"si" can be the raised fifth or the seventh.'


@pytest.mark.parametrize("text", ["ta ta", "ti ti ta", "ti-ti ta", "ta", "titi ta", "de du de", "ta ti"])
@pytest.mark.parametrize("system", [UP_I_DOWN_E, UP_I_DOWN_A, UNDECLARED])
def test_beats(text, system):
    """Words for beats are refused in a mixed column, and in a column of notes where nothing else stands."""
    assert read_syllables(text, system, column="mixed").fault == "rhythm_or_pitch"
    assert read_syllables(text, system, column="rhythm").fault == "rhythm_or_pitch"
    if " " in text:
        assert read_syllables(text, system).fault == "rhythm_or_pitch"


def test_beats_in_a_column_of_notes():
    """In a column of notes ta, ti and di are notes of the system that has them."""
    assert read_syllables("do ta la", UP_I_DOWN_A).text == "1 b7 6"
    assert read_syllables("do ta", UP_I_DOWN_E).found == '"ta" names a beat.'
    assert read_syllables("do ti do", UNDECLARED).text == "1 7 1"
    assert read_syllables("do ti do", UNDECLARED, column="mixed").found == (
        "The words name notes in one system and beats in another."
    )
    assert read_syllables("do mi", UP_I_DOWN_E, column="mixed").text == "1 3"
    assert read_syllables("ta ti", UP_I_DOWN_A, column="rhythm").found == "The column names beats, not notes."
    assert read_syllables(" ", UP_I_DOWN_A, column="rhythm") == Sung()


def test_r_is_re_only_where_rests_are_another_sign():
    """R alone may be a rest: it is re in a declared system with another sign for rests."""
    assert read_syllables("d r m", UP_I_DOWN_E).found == '"r" can be re or a rest.'
    assert read_syllables("d R m", UP_E_DOWN_A).fault == "syllable_unclear"
    assert read_syllables("d r m", Syllables(system="movable_i_up_e_down", rest=("x",))).text == "1 2 3"
    assert read_syllables("d r m", Syllables(system="movable_i_up_e_down", zero_is_rest=True)).text == "1 2 3"
    assert read_syllables("d r m", Syllables(system="movable_i_up_e_down", rest=("r",))).text == "1 0 3"
    assert read_syllables("m r s", Syllables(rest=("x",))).fault == "syllable_unclear"


@pytest.mark.parametrize(("system", "note"), [(UP_I_DOWN_E, LETTERS_ONLY), (UP_I_DOWN_A, LETTERS_ONLY), (UNDECLARED, LETTERS_ONLY), (UP_E_DOWN_A, "")])  # fmt: skip
def test_one_letter_is_a_note_of_the_scale(system, note):
    """One letter cannot say whether a note is altered: it is read as the scale has it, with a remark."""
    sung = read_syllables("t m l s f", system)
    assert (sung.text, sung.note) == ("7 3 6 5 4", note)


def test_letters_that_may_be_letter_names():
    """Undeclared, d and f alone may be letter names."""
    assert read_syllables("d f", UNDECLARED).found == '"d" and "f" can be syllables or letter names.'
    assert read_syllables("d f m", UNDECLARED).text == "1 4 3"


def test_letter_names():
    """B is the seventh letter in English and its flat in German; H is German only."""
    english, german = Syllables(system="letters_english", tonic="C"), Syllables(system="letters_german", tonic="C")
    assert read_syllables("B Bb B♭ b-flat F sharp", english).text == "7 b7 b7 b7 #4"
    assert read_syllables("H B Ais Es As Fis", german).text == "7 b7 #6 b3 b6 #4"
    assert read_syllables("H", english).found == '"H" is none of the declared system.'
    assert read_syllables("GABc", english).fault == "syllable_unknown"
    assert read_syllables("CEbG", english).text == "1 b3 5"
    assert read_syllables("C4 G", english).text == "1* 5"


def test_a_note_far_outside_the_key():
    """A letter more than a half step outside the key has no degree in the written form."""
    sung = read_syllables("Fb", Syllables(system="letters_english", tonic="G"))
    assert (sung.fault, sung.found) == ("syllable_unknown", '"Fb" is more than a half step outside the declared key.')


@pytest.mark.parametrize("text", ["so mi la", "s m l", "sml", "Sol-Mi-La"])
def test_one_melody_in_many_spellings(text):
    """Long, short and joined spellings of one melody are one melody; another spelling is counted."""
    sung = read_syllables(text, UP_I_DOWN_E)
    assert (sung.text, sung.rule) == ("5 3 6", "" if text == "so mi la" else SPELT)


def test_another_kind_of_names_is_a_minority():
    """Numbers where syllables are declared, and syllables where numbers are, stay out."""
    sung = read_syllables("5 3 6", UP_I_DOWN_E)
    assert (sung.fault, sung.found) == ("syllable_minority", "Scale numbers stand where syllables are declared.")
    sung = read_syllables("so mi", Syllables(system="numbers"))
    assert (sung.fault, sung.found) == ("syllable_minority", "Syllables stand where scale numbers are declared.")
    assert read_syllables("5 3 6", UNDECLARED).found == "Scale numbers are not declared."


@pytest.mark.parametrize("text", ["d m s d'", "d m s d’", "d m s d′"])
def test_straight_curly_and_prime(text):
    """The mark of the high do may be straight, curly or a prime."""
    assert read_syllables(text, UP_I_DOWN_E).text == "1 3 5 1'"


@pytest.mark.parametrize(("text", "system", "found"), [
    ("do re mi", UP_E_DOWN_A, 'Beside "mi", "re" can be the second or the raised second.'),
    ("mi la ti", UP_E_DOWN_A, 'Beside "mi", "la" can be the sixth or the lowered sixth.'),
    ("ray me", UP_I_DOWN_E, 'Beside "ray", "me" can be the lowered third or the third.'),
    ("lah te so", UP_I_DOWN_E, 'Beside "lah", "te" can be the lowered seventh or the seventh.'),
])  # fmt: skip
def test_two_systems_in_one_text(text, system, found):
    """Where a word of another system stands beside one with two readings, the declaration is not enough."""
    for _ in range(2):  # read anew, then from what was kept
        sung = read_syllables(text, system)
        assert (sung.fault, sung.found) == ("syllable_unclear", found)
    assert read_syllables("do mi so", UP_E_DOWN_A).text == "1 3 5"


def test_names_of_people_are_not_repeated():
    """A word that is no syllable anywhere may be a child's name: the finding does not repeat it."""
    for word in ("Maria", "Ana", "Jo", "Li-Ann"):
        for system in DECLARED:
            assert word.casefold() not in read_syllables(f"so {word}", system).found.casefold()
    assert read_syllables("so Maria", UP_I_DOWN_E).found == "A word of 5 letters names no note here."
    assert read_syllables("so 4711", Syllables(system="letters_english", tonic="C")).found != ""
    assert read_syllables("so 9", UP_I_DOWN_E).found == "A number names no note here."
    assert read_syllables("so fe", UP_I_DOWN_E).found == '"fe" is none of the declared system.'
    assert read_syllables("so pa", UNDECLARED).found == '"pa" is none of the syllables with one reading.'


def test_a_long_list_of_faults_is_cut():
    """At most five findings are said, and how many more there are."""
    found = read_syllables("te me le se la re si", UNDECLARED).found
    assert found.count("can be") == 5
    assert found.endswith(" And 2 more.")


def test_every_fault_has_its_sentence():
    """Each reason code is one that can be printed."""
    texts = ["te", "xyz", "5", "so''''", "ta ti"]
    faults = {read_syllables(text, system).fault for text in texts for system in (UNDECLARED, UP_I_DOWN_E)} - {""}
    assert faults == {"syllable_unclear", "syllable_unknown", "syllable_minority", "octave_unclear", "rhythm_or_pitch"}
    assert faults <= set(REASONS)


def test_nothing_and_signs():
    """An empty text has no notes; a text of separators is no melody."""
    assert read_syllables("  ", UP_I_DOWN_E) == Sung()
    assert read_syllables("", Syllables(system="fixed_si")) == Sung()
    assert read_syllables("| / |", UP_I_DOWN_E).found == "There are signs and no note."


def test_minor_from_la_and_from_do():
    """The scale of la-based minor and that of do-based minor have the same degrees from the key note."""
    la = Syllables(system="movable_i_up_e_down", mode="minor", minor_base="la")
    do = Syllables(system="movable_i_up_e_down", mode="minor", minor_base="do")
    from_la = [degree_from_tonic(note, la) for note in read_syllables("la, ti, do re mi fa so la", la).notes]
    from_do = [degree_from_tonic(note, do) for note in read_syllables("do re me fa so le te do'", do).notes]
    assert write_notes(from_la) == write_notes(from_do) == "1 2 b3 4 5 b6 b7 1'"
    assert from_tonic("6, 7, 1 0 - ? n 6*", la) == "1 2 b3 0 - ? n 1*"
    assert from_tonic("6, 7, 1", do) == from_tonic("6, 7, 1", UP_I_DOWN_E) == "6, 7, 1"
    melodic = [degree_from_tonic(note, la) for note in read_syllables("mi fi si la", la).notes]
    assert write_notes(melodic) == "5 6 7 1'"


@pytest.mark.parametrize("degree", range(1, 8))
@pytest.mark.parametrize("alter", [-1, 0, 1])
def test_counting_from_la_keeps_the_pitch(degree, alter):
    """A note counted from la is nine half steps lower, in the octave that begins on the la below do."""
    semitones = (0, 2, 4, 5, 7, 9, 11)
    system = Syllables(system="numbers", mode="minor", minor_base="la")
    note = degree_from_tonic(Note(degree, alter, 0), system)
    assert semitones[note.degree - 1] + note.alter + 12 * note.octave == semitones[degree - 1] + alter + 3
    assert degree_from_tonic(Note(degree, alter, None), system).octave is None


def test_without_mode_only_the_syllables_are_kept():
    """Without mode, or in minor without its base, nobody knows the key note; in major, and from letters, it is known."""
    note = Note(6)
    assert degree_from_tonic(note, UP_I_DOWN_E) is None
    assert degree_from_tonic(note, Syllables(system="numbers", mode="minor")) is None
    assert degree_from_tonic(note, Syllables(system="numbers", mode="major")) == note
    assert degree_from_tonic(note, Syllables(system="letters_english", tonic="C")) == note
    assert degree_from_tonic(REST, UP_I_DOWN_E) == REST


def test_a_melody_on_one_vowel():
    """Four notes or more on one syllable, against a target of several, carry no degrees."""
    target = read_notes("1 2 3 1")
    assert neutral_notes("la la la la", target) == (NEUTRAL,) * 4
    assert neutral_notes("la-la-la-la-la-so", target) == (NEUTRAL,) * 6
    assert neutral_notes("la la la so", target) == ()
    assert neutral_notes("la la la", target) == ()
    assert neutral_notes("la la la la", read_notes("6 6 6 6")) == ()


@pytest.mark.parametrize(("note", "expected"), [
    (Note(4, 1), "fi"), (Note(5, 0, -1), "low so"), (Note(1, 0, 2), "high high do"), (Note(5, 0, None), "so*"),
    (REST, "rest"), (HOLD, "hold"), (UNKNOWN, "?"), (NEUTRAL, "loo"), (Note(7, 1), "ti#"), (Note(4, -1), "fab"),
])  # fmt: skip
def test_labels(note, expected):
    """A label is what a choir teacher would say."""
    assert label(note, UP_I_DOWN_E) == expected


def test_labels_where_names_are_not_known():
    """Fixed names without a key are labelled by number."""
    assert label(Note(5, 1, -1), Syllables(system="fixed_si")) == "low #5"
    assert label(Note(7), Syllables(system="fixed_si", tonic="G")) == "fa#"
    assert label(Note(4), Syllables(system="letters_german", tonic="F")) == "B"


def written(system):
    """Draw texts that a system can read: any of its names, with any octave marks."""
    names = vocabulary(system)
    words = st.sampled_from(sorted({*names.words, *names.exact, *names.neutral, *(set(names.letters) - {"r"}), "rest"}))
    marks = st.sampled_from(["", "'", "’", "₁", "¹", "^", "₂", ","])
    return st.lists(st.builds("{}{}".format, words, marks), min_size=1, max_size=8).map(" ".join)


@given(st.sampled_from(DECLARED).flatmap(lambda system: st.tuples(st.just(system), written(system))))
@settings(max_examples=100, deadline=None)
def test_labels_are_read_back(drawn):
    """Raw text to notes to labels to notes is the identity inside one system."""
    system, text = drawn
    sung = read_syllables(text, system)
    again = read_syllables(" ".join(label(note, system) for note in sung.notes), system)
    if not sung.fault and again.fault != "rhythm_or_pitch":  # ta and ti alone may be beats again
        assert (again.text, again.fault) == (sung.text, "")


@given(st.lists(st.sampled_from(DECLARED).flatmap(written), max_size=5), st.sampled_from(DECLARED))
@settings(max_examples=50, deadline=None)
def test_a_log_reads_like_its_texts_one_by_one(texts, system):
    """Reading many texts, twice, gives what reading each alone gives."""
    first, second = read_unique(texts, system), read_unique(texts, system)
    assert first == second == {text: read_syllables(text, system) for text in texts}


SIGNS = "do re mi so la ti DSTRM drmfslt 0123456789 '’′,-–—_/|:;()x×?*.…₁₂¹²^#♯b♭\u0323\u0307↓↑ low high rest\t\n"


@given(st.one_of(st.text(max_size=40), st.text(alphabet=SIGNS, max_size=40)), st.sampled_from(DECLARED))
@example("ß", DECLARED[0])
@example("İ", DECLARED[2])
@example("so٣", DECLARED[2])
@example("\x00", DECLARED[4])
@settings(max_examples=150, deadline=None)
def test_any_text_is_read_or_refused(text, system):
    """Whatever is written gives notes in the written form, or a fault with a finding; never an exception."""
    sung = read_syllables(text, system)
    assert write_notes(sung.notes) == sung.text
    assert bool(sung.fault) == bool(sung.found)
    assert not (sung.fault and sung.text)
    assert sung == read_syllables(text, system)


LONG = ["so", "so ", ",", "-", "so,", "s,l-", "(", "?", "x2", " x2", "so x16 ", "'", "1", "so1", "\u0323", "d", "low ", ".", "so. ", "_ ", "so - ", "so12", "a.b", "-7 ", "b", "#"]  # fmt: skip


@pytest.mark.parametrize("piece", LONG)
def test_long_texts_take_linear_time(piece):
    """A text of 10^5 characters is read or refused, in at most about ten times what a tenth of it takes."""

    def seconds(size):
        """Measure the processor time of reading in two systems."""
        start = time.process_time()
        for system in (UP_I_DOWN_E, Syllables(system="numbers")):
            read_syllables((piece * size)[:size], system)
        return time.process_time() - start

    assert seconds(100_000) < 30 * seconds(10_000) + 0.5


@pytest.mark.parametrize(
    ("text", "expected"), [("low #6", "#6,"), ("dohlow so", ""), ("low low 5 1", "5,, 1"), ("6#low 1", "")]
)
def test_octave_words_read_the_same_before_and_after_their_notes_were_met(text, expected):
    """What was read before does not change how a text is read."""
    system = Syllables(system="numbers", octave_digit_means="high")
    for words in ("", "1 5 #6 6#", "low 6 low #6", text):
        read_syllables(words, system)
        assert read_syllables(text, system).text == expected


def test_the_column_is_one_of_three():
    """Another word for the column is refused."""
    message = "read_syllables: column must be one of 'pitch', 'rhythm', 'mixed'. Got 'words'."
    with pytest.raises(UnknownChoiceError) as refused:
        read_syllables("so", UP_I_DOWN_E, column="words")
    assert str(refused.value) == message
