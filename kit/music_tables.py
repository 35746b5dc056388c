"""The normalised tables of single notes, drill logs, patterns, ratings and attendance."""

from __future__ import annotations

from kit.table import MISSING_REASONS, PLACE, Column, Table

APPROACHES = ("step", "triad_skip", "other_skip", "repeat")
"""How a note is reached from the one before it; empty for the first note of a melody."""

ITEMS = Table(
    "items",
    "one scored note or beat",
    (
        Column("student", "text", "Random study id.", required=True),
        Column("choir", "text", "Choir named beside the mark; empty when not given."),
        Column("occasion", "text", "Test occasion.", required=True),
        Column("measure", "text", "What was marked: pitch or rhythm.", required=True),
        Column("form", "text", "Test form; empty when not recorded."),
        Column("rater", "text", "Who marked; empty when not recorded."),
        Column("melody", "text", "Melody of the test.", required=True),
        Column("item", "integer", "Place of the note or beat in its melody, from 1.", required=True),
        Column("degree", "integer", "Scale degree of the note, 1 to 7."),
        Column("alter", "integer", "Alteration of the degree: -1 lowered, 0, 1 raised.", unit="semitones"),
        Column("approached_by", "text", "How the note is reached from the one before it.", allowed=("", *APPROACHES)),
        Column("drilled", "yes_no", "Whether notes of this kind were drilled; empty when not tagged."),
        Column("right", "yes_no", "Whether the note (its pitch) or beat was right; empty when there is no mark."),
        Column("syllable_right", "yes_no", "Whether the syllable said was right; empty when not recorded."),
        Column("sung", "text", "What was sung instead, in scale degrees; empty when not recorded."),
        Column("missing_reason", "text", "Why there is no mark; empty when there is one.", allowed=MISSING_REASONS),
        *PLACE,
    ),
)

UNITS = ("class", "section", "group", "one")
STAGES = ("before_notation", "with_notation")
ACTIVITIES = (
    "echo", "hand signs", "pointing at a chart", "pattern cards", "scale or arpeggio", "round", "rhythm echo",
    "rhythm reading", "silent singing", "names spoken", "dictation", "reading in unison", "reading in parts", "probe",
)  # fmt: skip
"""Kinds of drill (common practice, no source); a school's own words are mapped to them in the study file."""

DRILLS = Table(
    "drills",
    "one line of a drill log",
    (
        Column("date", "date", "Day of the drill."),
        Column("choir", "text", "Choir that was drilled."),
        Column("student", "text", "Random study id; empty for a line about the class."),
        Column("teacher", "text", "Who led, as the log names the role."),
        Column("unit", "text", "Who sang.", allowed=("", *UNITS)),
        Column("activity", "text", "Kind of drill.", allowed=("", *ACTIVITIES)),
        Column("stage", "text", "Before or with the printed page.", allowed=("", *STAGES)),
        Column("minutes", "number", "Length of the drill.", unit="minutes"),
        Column("pattern", "text", "Code of the pattern, or of several with single spaces."),
        Column("target", "text", "What was to be sung, in scale degrees."),
        Column("sung", "text", "What was sung, in scale degrees."),
        Column("response", "text", "What was noted instead of notes: flat, sharp, repeated, unclear, none, declined."),
        Column("attempt", "integer", "Number of the try, from 1.", unit="attempts"),
        Column("right", "yes_no", "Whether the try was right as a whole (its pitches, where marked apart)."),
        Column("notes_right", "number", "Notes that were right, where counted.", unit="notes"),
        Column("notes_asked", "number", "Notes that were asked, where counted.", unit="notes"),
        Column("syllable_right", "yes_no", "Whether the syllables said were right; empty when not recorded."),
        Column("correction", "text", "What the teacher did after a miss."),
        Column("right_after", "yes_no", "Whether it was right after the correction."),
        Column("class_rating", "number", "How the class did, as the log rates it."),
        Column("errors_only", "yes_no", "Whether the log holds mistakes only, so that no accuracy can be computed."),
        Column("summary", "yes_no", "Whether the line sums up several days and is no measured session."),
        *PLACE,
    ),
)

PATTERNS = Table(
    "patterns",
    "one pattern of the drill, in the order of teaching",
    (
        Column("pattern", "text", "Code of the pattern.", required=True),
        Column("notes", "text", "Its notes, in scale degrees.", required=True),
        *PLACE,
    ),
)

RATINGS = Table(
    "ratings",
    "one judge's rating of a choir",
    (
        Column("date", "date", "Day of the event."),
        Column("choir", "text", "Choir that was rated.", required=True),
        Column("judge", "text", "Judge by role or code; 'panel' for the result of the whole panel.", required=True),
        Column("part", "text", "What was rated: concert, sight reading, ..."),
        Column("rating", "number", "The rating as a number of its scale.", required=True),
        Column("best_rating", "number", "The best number of the scale.", required=True),
        Column("worst_rating", "number", "The worst number of the scale.", required=True),
        *PLACE,
    ),
)

ATTENDANCE = Table(
    "attendance",
    "one student on one day",
    (
        Column("student", "text", "Random study id.", required=True),
        Column("choir", "text", "Choir named beside the code; empty when not given."),
        Column("date", "date", "The day.", required=True),
        Column("present", "text", "Present, absent, excused, or no school.", required=True,
               allowed=("present", "absent", "excused", "no_school")),
        *PLACE,
    ),
)  # fmt: skip
