"""Cutting texts into tokens: every spelling of octaves, separators, repeats, rests and holds."""

import pytest

from kit.load.declared_music import Syllables
from kit.load.syllables.doubts import CAPITALS
from kit.load.syllables.read import DIGITS, LETTERS_ONLY, read_syllables
from kit.load.syllables.runs import cut_run
from kit.load.syllables.text import BRACKETS, COMMA, DASH, MOST_REPEATS, POINT, cut

PLAIN = Syllables(system="movable_i_up_e_down")
NUMBERS = Syllables(system="numbers")
DECLARED = Syllables(system="movable_i_up_e_down", rest=("x",))


def read(text, **declared):
    """Read a text of movable do."""
    return read_syllables(text, Syllables(system="movable_i_up_e_down", **declared))


@pytest.mark.parametrize("low", ["so, do mi", "s, do mi", "s₁ do mi", ",s do mi", "low so do mi", "so(low) do mi",
                                 "so (low) do mi", "L.so do mi", "so- do mi", "lower so do mi", "Low so do mi", "low-so do mi"])  # fmt: skip
def test_low_marks(low):
    """Every spelling of low so is the so below home."""
    assert read(low).text == "5, 1 3"


@pytest.mark.parametrize("high", ["do'", "d’", "d′", "d¹", "do^", "high do", "do(high)", "d`", "d´", "dʼ", "do ( high )", "High do"])  # fmt: skip
def test_high_marks(high):
    """Every spelling of high do is the do above home, curly and prime apostrophes among them."""
    assert read(high).text == "1'"
    assert read(f"so mi {high}").text == "5 3 1'"


@pytest.mark.parametrize(("text", "expected"), [("5, 1 3", "5, 1 3"), ("5. 1 3", "5, 1 3"), ("5₁ 1 8", "5, 1 1'"), ("5̣ 1̇", "5, 1'"),
                                                ("low 5 1'", "5, 1'"), ("L.5 1’", "5, 1'"), ("8 5 1", "1' 5 1")])  # fmt: skip
def test_octave_marks_at_numbers(text, expected):
    """Numbers take the same marks, and a full stop or a dot below or above."""
    assert read_syllables(text, NUMBERS).text == expected


@pytest.mark.parametrize(("text", "expected"), [("so,, do ti", "5,, 1 7"), ("s₂ d", "5,, 1"), ("low low so do", "5,, 1"),
                                                ("d'' do²", "1'' 1''"), ("do” mi", "1'' 3")])  # fmt: skip
def test_two_octaves(text, expected):
    """Marks count, and a curly double quote is two apostrophes."""
    assert read(text).text == expected


def test_a_capital_is_high_only_if_declared():
    """D is the high do if declared; among small letters, undeclared, its octave is left open; alone it is do."""
    assert read("d m s D", capital_is_high=True).text == "1 3 5 1'"
    assert read("d m s D").text == "1 3 5 1*"
    assert read("d m s D").note == f"{CAPITALS}; {LETTERS_ONLY}"
    assert read("dmsD").text == "1 3 5 1*"
    assert read("D M S").text == "1 3 5"
    assert read("Do Mi", capital_is_high=True).text == "1 3"


@pytest.mark.parametrize(("means", "expected"), [("low", "5, 1"), ("high", "5' 1"), ("", "5* 1")])
def test_a_digit_that_lost_its_place(means, expected):
    """s1 is low or high as declared; undeclared the octave is left open and the remark says so."""
    sung = read("so1 do", octave_digit_means=means)
    assert sung.text == expected
    assert sung.note == ("" if means else DIGITS)
    assert read("s1 d1 l1").text == "5* 1* 6*"


@pytest.mark.parametrize("text", ["so mi la", "so-mi-la", "so–mi–la", "so—mi—la", "so - mi - la", "so/mi/la", "so | mi | la", "so:mi:la",
                                  "so\tmi\nla", "so;mi;la", "so → mi → la", "  so  mi la ", "so\u00a0mi\u00a0la", "so -mi -la",
                                  "so.mi.la", "so mi la.", "'so mi la", "so, mi, la.", "Sol-Mi-La", "so - mi-la"])  # fmt: skip
def test_separators(text):
    """Spaces, dashes, slashes, barlines, colons and full stops separate; a full stop at the end ends a sentence."""
    if text in ("so - mi-la",):  # a dash by itself beside dashes inside: it may be a rest
        assert read(text).fault == "syllable_unclear"
    elif "," in text:
        assert read(text).text == "5* 3* 6"
    else:
        assert read(text).text == "5 3 6"


@pytest.mark.parametrize(("text", "between", "low", "neither"), [
    ("so, mi, la", "5 3 6", "5, 3, 6", "5* 3* 6"),
    ("so,mi,la", "5 3 6", "5, 3, 6", "5* 3* 6"),
    ("so, do", "5 1", "5, 1", "5* 1"),
    ("s,l", "5 6", "5, 6", "5* 6"),
    ("so, do mi", "5 1 3", "5, 1 3", "5, 1 3"),
    ("do so,", "1 5", "1 5,", "1 5,"),
    ("do ,so do", "1 5 1", "1 5, 1", "1 5, 1"),
    ("so , mi", "5 3", "5 3", "5 3"),
])  # fmt: skip
def test_commas(text, between, low, neither):
    """A comma is what is declared; undeclared it is low, unless commas stand between all notes: then it is open."""
    assert read(text, comma="between").text == between
    assert read(text, comma="low").text == low
    assert read(text).text == neither
    assert read(text).note.startswith(COMMA) == ("*" in neither)


@pytest.mark.parametrize(("text", "expected"), [("so- mi- la", "5* 3* 6"), ("so- mi la", "5, 3 6"), ("do so-", "1 5,"), ("do-mi so-", "1 3 5*")])  # fmt: skip
def test_dashes_behind_notes(text, expected):
    """A dash behind a note is a low mark, and open where dashes also separate."""
    assert read(text).text == expected
    assert (read(text).note == DASH) == ("*" in expected)


def test_a_full_stop_inside_leaves_the_octave_open():
    """A full stop behind a syllable inside a text may be a low mark; between numbers it is refused."""
    assert (read("so. mi").text, read("so. mi").note) == ("5* 3", POINT)
    sung = read_syllables("5.3.1", NUMBERS)
    assert (sung.fault, sung.found) == (
        "octave_unclear",
        "A full stop between numbers can be a low mark or stand between notes.",
    )


@pytest.mark.parametrize("text", ["so so", "so-so", "so x2", "so x 2", "sox2", "soso", "so ×2", "so (x2)", "so X2"])
def test_repeats(text):
    """Every way to write a note sung twice is two notes."""
    assert read(text).text == "5 5"


@pytest.mark.parametrize(
    ("text", "said"), [("do so x2", "x2"), ("x2", "x2"), (f"so x{MOST_REPEATS + 1}", "x17"), ("so x0", "x0")]
)
def test_repeats_of_nothing_certain(text, said):
    """A repeat behind several notes, behind none, or of too many is refused."""
    sung = read(text)
    assert (sung.fault, sung.found) == ("syllable_unclear", f'"{said}" does not say which notes were repeated.')


def test_a_repeat_at_numbers():
    """Between numbers, x is refused unless it is attached or declared."""
    assert read_syllables("5x2 1", NUMBERS).text == "5 5 1"
    assert read_syllables("5 x 2", NUMBERS).found == '"x" before a number can be a rest or say how often.'
    assert read_syllables("5 x 2", Syllables(system="numbers", rest=("x",))).text == "5 0 2"


@pytest.mark.parametrize("rest", ["rest", "x", "z", "*", "()", "( )", "Rest"])
def test_rests(rest):
    """Words and signs that are rests where nothing is declared."""
    assert read(f"so {rest} mi").text == "5 0 3"


@pytest.mark.parametrize("rest", ["_", "-", "0", "r", "R", "silence", "/", "*"])
def test_declared_rests(rest):
    """A sign with other meanings is a rest where it is declared to be one."""
    assert read(f"so {rest} mi", rest=(rest,)).text == "5 0 3"
    assert read(rest, rest=(rest,)).text == "0"


def test_words_of_several_letters_for_a_rest():
    """A declared phrase is a rest where it stands alone."""
    assert read("no sound", rest=("no sound",)).text == "0"


def test_another_sign_is_no_rest_where_rests_are_declared():
    """Declared rests are all the rests there are."""
    assert read("so z mi", rest=("x",)).fault == "syllable_unknown"


@pytest.mark.parametrize("text", ["x", "* *", "x x x"])
def test_signs_alone_are_refused(text):
    """A text of nothing but signs may be a mark, not a melody of rests."""
    assert read(text).found == 'A sign such as "x" by itself can be a rest or a mark.'


@pytest.mark.parametrize(("text", "expected"), [("so _ mi", "5 - 3"), ("so - - mi", "5 - - 3"), ("so mi – la", "5 3 - 6"), ("so hold mi", "5 - 3")])  # fmt: skip
def test_holds(text, expected):
    """With rests declared otherwise, an underscore or a dash by itself is a held note."""
    assert read(text, rest=("x",)).text == expected


@pytest.mark.parametrize(("text", "sign"), [("so _ mi", "_"), ("so - - mi", "-"), ("so mi - la", "-"), ("-", "-"), ("so--mi", "-"), ("-so mi", "-")])  # fmt: skip
def test_undeclared_signs_between_notes_are_refused(text, sign):
    """Without any declared rest, a sign by itself has several readings."""
    sung = read(text)
    assert (sung.fault, sung.found) == (
        "syllable_unclear",
        f'"{sign}" can be a rest, a held note or a mark between notes.',
    )


def test_beats_written_with_colons_hold_with_dashes():
    """Where colons mark the beats, as in tonic sol-fa, a dash holds the note."""
    assert read("d :- |m : s").text == "1 - 3 5"


def test_brackets_are_read_and_remarked():
    """A note in brackets counts as sung, and the remark says so."""
    assert (read("(so) mi").text, read("(so) mi").note) == ("5 3", BRACKETS)


def test_inaudible():
    """A question mark and a crossed zero are notes that nobody heard."""
    assert read("so ? mi Ø").text == "5 ? 3 ?"
    assert read("so? mi").found == "A question mark stands behind a syllable."


@pytest.mark.parametrize("text", ["so mi ...", "…", "so .. mi"])
def test_dots_are_refused(text):
    """Dots stand for something that nobody wrote down."""
    assert read(text).found == "Dots stand for something that is not written down."


@pytest.mark.parametrize(("text", "said"), [
    ("'do mi do'", "The marks at both ends can be quotes or the sign of a high note."),
    ("so''''", "The octave marks at one note do not fit together."),
    ("so,' mi fa", "An octave mark stands alone."),
    ("low do'", "The octave marks at one note do not fit together."),
    ("do1' mi", "The octave marks at one note do not fit together."),
    ("do ↓ mi", "An octave mark stands alone."),
])  # fmt: skip
def test_octaves_that_are_not_clear(text, said):
    """Octave marks that contradict each other are refused."""
    assert (read(text).fault, read(text).found) == ("octave_unclear", said)


def test_a_cut_has_tokens_only():
    """Marks are written one way before anything is read."""
    assert cut("Low so - do’ - s₁", PLAIN).tokens == ["↓so", "do'", "s↓"]
    assert cut("so _ mi", DECLARED).tokens == ["so", "hold", "mi"]


@pytest.mark.parametrize(("run", "expected"), [("soso", (1, [2, 4])), ("so'mi", (1, [3, 5])), ("sox", (0, [])), ("'so", (0, [])), ("sola", (2, []))])  # fmt: skip
def test_runs_are_cut_in_one_way_or_not(run, expected):
    """A run is cut only if one way fits."""
    assert cut_run(run, {"so", "mi", "la", "sol", "a"}, marks="'") == expected


@pytest.mark.parametrize(("text", "expected"), [("sml", "5 3 6"), ("dmsd'", "1 3 5 1'"), ("solla", "5 6"), ("doremi", "1 2 3"), ("SoMi", "5 3")])  # fmt: skip
def test_names_without_spaces(text, expected):
    """Names may be written without spaces if they fit in one way."""
    assert read(text).text == expected


@pytest.mark.parametrize("word", ["same", "late", "solo"])
def test_words_of_speech_are_no_syllables(word):
    """Words that a teacher writes beside notes are not cut into syllables."""
    for system in ("movable_e_up_a_down", "movable_i_up_a_down"):
        assert read_syllables(word, Syllables(system=system)).fault == "syllable_unknown"
