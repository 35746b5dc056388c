"""What a study file declares about drill logs, single notes, ratings and attendance. Plain records, as ``declared``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar, Literal

ChoirFrom = Literal["", "column", "sheet", "title"]
DateOrder = Literal["", "day_first", "month_first", "year_first"]
Right = Literal["right", "wrong", "partly"]
Several = Literal["", "one_each"]
Span = Literal["", "midpoint"]
SyllableSystem = Literal[
    "", "movable_i_up_e_down", "movable_e_up_a_down", "movable_i_up_a_down", "fixed_si", "fixed_ti", "numbers",
    "numbered_notation", "letters_english", "letters_german", "sargam", "neutral",
]  # fmt: skip
PanelRule = Literal["", "median", "mean_round_half_up", "sum_bands", "trimmed_mean", "lookup_table"]
Present = Literal["present", "absent", "excused", "no_school"]

_STRICT: Mapping[str, str] = {"extra": "forbid"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Syllables:
    """How a class names the notes it sings: the system, and what its signs mean.

    ``tonic`` is the key of fixed syllables and letter names, such as ``"G"`` or ``"Bb"``; ``rest`` lists the
    words and signs that stand for a rest.
    """

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    system: SyllableSystem = ""
    minor_base: Literal["", "do", "la"] = ""
    mode: Literal["", "major", "minor"] = ""
    tonic: str = ""
    octave_digit_means: Literal["", "low", "high"] = ""
    rest: tuple[str, ...] = ()
    zero_is_rest: bool = False
    capital_is_high: bool = False
    comma: Literal["", "low", "between"] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillSource:
    """A drill log: a line for a session of the class, or for one try of one singer.

    ``errors_only`` says that only mistakes were written down; ``weekly`` and ``several_students`` say that a line
    about several days or several singers stands for one line each; ``minutes_span`` what ``5-7`` minutes means.
    """

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    file: str
    sheets: tuple[str, ...] = ()
    cells: str = ""
    date: str = ""
    student: str = ""
    name: tuple[str, ...] | str = ()
    choir: str = ""
    choir_from: ChoirFrom = ""
    choir_is: str = ""
    teacher: str = ""
    unit: str = ""
    activity: str = ""
    stage: str = ""
    minutes: str = ""
    minutes_unit: Literal["", "minutes", "seconds"] = ""
    minutes_span: Span = ""
    pattern: str = ""
    target: str = ""
    sung: str = ""
    attempt: str = ""
    right: str = ""
    pitch_right: str = ""
    syllable_right: str = ""
    correction: str = ""
    right_after: str = ""
    class_rating: str = ""
    note: str = ""
    right_words: Mapping[str, Right] = field(default_factory=dict)
    activities: Mapping[str, str] = field(default_factory=dict)
    syllables: Syllables | None = None
    errors_only: bool = False
    several_students: Several = ""
    weekly: Several = ""
    date_order: DateOrder = ""
    encoding: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeySource:
    """The scored notes or beats of a test, each with its tags: the key that item marks are read by."""

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    file: str
    sheets: tuple[str, ...] = ()
    cells: str = ""
    form: str = ""
    form_is: str = ""
    measure_is: str = "pitch"
    melody: str = ""
    item: str = ""
    degree: str = ""
    approach: str = ""
    drilled: str = ""
    syllables: Syllables | None = None
    encoding: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternSource:
    """The patterns of the drill, in the order of teaching: a code and its notes."""

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    file: str
    sheets: tuple[str, ...] = ()
    cells: str = ""
    pattern: str = ""
    notes: str = ""
    syllables: Syllables | None = None
    encoding: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemSource:
    """Marks of single notes or beats.

    A row for each (``item``), a column for each (``items``, such as ``["n1..n24"]``), or a string of marks in one
    cell (``string``, such as 110111).
    """

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    file: str
    sheets: tuple[str, ...] = ()
    cells: str = ""
    student: str = ""
    name: tuple[str, ...] | str = ()
    choir: str = ""
    choir_from: ChoirFrom = ""
    occasion: str = ""
    occasion_is: str = ""
    form: str = ""
    form_is: str = ""
    measure_is: Literal["pitch", "rhythm"] = "pitch"
    rater: str = ""
    rater_is: str = ""
    melody: str = ""
    melody_is: str = ""
    item: str = ""
    items: tuple[str, ...] = ()
    string: str = ""
    right: str = ""
    syllable_right: str = ""
    sung: str = ""
    second_rater: str = ""
    second_rater_is: str = ""
    item_count: int | None = None
    right_words: Mapping[str, Right] = field(default_factory=dict)
    syllables: Syllables | None = None
    encoding: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingSource:
    """Ratings of choirs by a panel: a column for each judge (``judges``), or a row for each (``judge``, ``rating``).

    ``labels`` lists the ratings from best to worst where they are words of the school's own; ``bands`` gives the
    lowest sum of points of each rating from best to worst (rule ``sum_bands``); ``chart`` every combination of the
    judges' ratings, such as ``"1 1 2" = 1`` (rule ``lookup_table``).
    """

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    file: str
    sheets: tuple[str, ...] = ()
    cells: str = ""
    date: str = ""
    choir: str = ""
    choir_from: ChoirFrom = ""
    part: str = ""
    judge: str = ""
    rating: str = ""
    judges: tuple[str, ...] = ()
    final: str = ""
    higher_is_better: bool | None = None
    labels: tuple[str, ...] = ()
    best: float | None = None
    worst: float | None = None
    signs: Literal["", "thirds", "ignored"] = ""
    panel_rule: PanelRule = ""
    bands: tuple[float, ...] = ()
    chart: Mapping[str, float] = field(default_factory=dict)
    date_order: DateOrder = ""
    encoding: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AttendanceSource:
    """Attendance: a column for each day, or a row for each day and student; ``codes`` says what each code means."""

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    file: str
    sheets: tuple[str, ...] = ()
    cells: str = ""
    student: str = ""
    name: tuple[str, ...] | str = ()
    choir: str = ""
    choir_from: ChoirFrom = ""
    date: str = ""
    code: str = ""
    codes: Mapping[str, Present] = field(default_factory=dict)
    date_order: DateOrder = ""
    encoding: str = ""
