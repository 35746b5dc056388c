"""Estimates to sentences: plain words for an educator and a principal. Every sentence of a report is made here."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kit.estimate import Estimate
from kit.report.numbers import bare, percent_level, show, show_interval

NOISE_DECIDES = 0.15
"""Share of students at the top score from which the ceiling is spoken of (common rule of thumb, no source)."""


@dataclass(frozen=True, slots=True)
class Said:
    """Sentences, the numbers in them, and whether they say what cannot be said."""

    sentences: tuple[str, ...]
    estimates: tuple[Estimate, ...] = ()
    limits: bool = False


@dataclass(frozen=True, slots=True)
class Caption:
    """What a figure shows, for those who see it (title, note) and for those who do not (alt)."""

    title: str
    alt: str
    note: str = ""


Labels = tuple[str, str]
"""Names of the first and the second occasion."""


def find(estimates: Sequence[Estimate], name: str, ending: str = "") -> Estimate | None:
    """Find the first estimate of a statistic whose ``about`` ends in certain words."""
    return next((e for e in estimates if e.name == name and e.about.endswith(ending)), None)


def number(counts: Sequence[Estimate], about: str) -> int:
    """Read a count by what it is about; nothing counted is none."""
    found = find(counts, "count", about)
    return int(found.value) if found else 0


def headline(estimates: Sequence[Estimate], flow: Sequence[Estimate], *, code: str, occasions: Labels) -> Said:
    """Say in three sentences what a busy reader needs: how many, how much, how sure.

    Parameters
    ----------
    estimates : sequence of Estimate
        From `kit.questions.growth.before_and_after`.
    flow : sequence of Estimate
        From `kit.questions.whom.flow`.
    code : str
        Design of the study.
    occasions : tuple of str
        Labels of the two occasions.

    Returns
    -------
    Said
    """
    before, after = occasions
    tested = number(flow, "tested both times")
    enrolled = number(flow, "on the roster")
    counted = tuple(e for e in flow if e.about in ("tested both times", "on the roster"))
    if code == "D0" or not tested:
        once = number(flow, "tested before") or number(flow, "tested after")
        return Said((f"{_students(once)} took one of the two tests, and nobody took both.",), tuple(flow))
    gain = find(estimates, "mean_gain")
    first = f"{tested} of {_students(enrolled)} on the roster took the reading test in both {before} and {after}."
    if gain is None:
        return Said((first, "That is too few for an average."), counted)
    return Said((first, _moved(gain), _sure(gain)), (*counted, gain))


def limits(*, code: str, occasions: Labels) -> Said:
    """Say what this design cannot show.

    Parameters
    ----------
    code : str
        Design of the study.
    occasions : tuple of str
        Labels of the two occasions.

    Returns
    -------
    Said
    """
    before, after = occasions
    if code == "D0":
        return Said(("With one test this report cannot say whether scores changed.",), limits=True)
    if code in ("D1", "D1b", "D1c"):
        return Said(
            (
                f"This report describes how scores changed between {before} and {after}.",
                "There was no comparison group, so it cannot say how much of the change came from the teaching rather "
                "than from a term of singing, from practice with the test, or from chance.",
            ),
            limits=True,
        )
    return Said(
        (
            "Choirs differ in more than the way they were taught.",
            "This term review does not compare approaches; it cannot say that one of them caused a difference.",
        ),
        limits=True,
    )


def design_sentence(title: str, because: Sequence[str]) -> Said:
    """Say what kind of study this is, and why it is this one."""
    return Said((f"{title}.", *because), limits=True)


def who_is_counted(flow: Sequence[Estimate], reasons: Sequence[Estimate], *, occasions: Labels) -> Said:
    """Say how many students were tested, and why marks are missing."""
    before, after = occasions
    sentences = [
        f"{_students(number(flow, 'on the roster'))} {_are(number(flow, 'on the roster'))} on the roster: "
        f"{number(flow, 'tested before')} have a score from {before}, {number(flow, 'tested after')} from {after}, "
        f"and {number(flow, 'tested both times')} from both."
    ]
    for when, label in (("before: ", before), ("after: ", after)):
        told = [f"{int(r.value)} {r.about.removeprefix(when)}" for r in reasons if r.about.startswith(when)]
        if told:
            sentences.append(f"No score from {label}: {_listed(told)}.")
    refused = number(flow, "left out: no consent to research")
    if refused:
        sentences.append(f"{_students(refused)} without consent to research {_are(refused)} left out of everything.")
    if reasons:
        sentences.append("A missing score is never counted as a zero.")
    return Said(tuple(sentences), (*flow, *reasons))


def leavers(estimates: Sequence[Estimate], *, code: str) -> Said:
    """Say how students who missed the second test had scored on the first."""
    difference = find(estimates, "mean_difference_welch")
    if difference is None:
        return Said(
            ("Too few students missed the second test to say whether they had started differently from the others.",)
        )
    about = "as high as" if abs(difference.value) < _TIE else f"{show(abs(difference.value), difference.unit)} "
    where = "the others" if abs(difference.value) < _TIE else ("higher" if difference.value > 0 else "lower")
    tail = where if abs(difference.value) < _TIE else f"{where} than the others"
    sentences = [
        f"On the first test, students who then missed the second had scored on average {about} {tail}.".replace(
            "  ", " "
        )
    ]
    if difference.interval:
        sentences.append(f"The plausible range of that difference is {show_interval(difference)}.")
    sentences.append("What follows is about the students tested both times.")
    return Said(tuple(sentences), tuple(estimates))


def how_tested(facts: object, *, what: str = "") -> Said:
    """Say how the test was given, as far as the files tell: form, points, who marked.

    Parameters
    ----------
    facts : HowTested
        From `kit.questions.quality.how_tested`.
    what : str, optional
        What the study file says of the test.

    Returns
    -------
    Said
    """
    sentences = [f"{what.rstrip('.')}."] if what else []
    if not facts.maxima:
        sentences.append("The most points that could be earned are not recorded.")
    elif facts.one_maximum:
        sentences.append(
            f"The most that could be earned is {show(facts.maxima[0], 'points').replace('.0 ', ' ')} each time."
        )
    else:
        sentences.append("The two tests had different numbers of points, so change is told in percent of the points.")
    if facts.same_form is True:
        sentences.append(
            "The same form was sung both times, so a higher score may be partly practice with that melody."
        )
    elif facts.same_form is False:
        sentences.append("Different forms were sung, so a change may be partly that one form is harder.")
    else:
        sentences.append("Which form each student sang is not recorded for everybody.")
    if facts.own_teacher_rated is None:
        sentences.append("Who marked the tests is not recorded.")
    elif facts.own_teacher_rated:
        sentences.append(
            "The students' own teacher marked the tests and knew which test was which; marks can drift upward that way."
        )
    return Said(tuple(sentences), limits=True)


def scoring_noise(estimates: Sequence[Estimate], *, borrowed_from: str) -> Said:
    """Say how far scores of one student must differ before it is more than noise."""
    change = find(estimates, "detectable_change")
    if change is None:
        return Said(("How far one score is from a student's usual one cannot be worked out here.",), limits=True)
    return Said(
        (
            f"On this test two scores of the same student must differ by about {show(change.value, change.unit)} before "
            "one can be confident that it is more than scoring noise.",
            f"That rests on a reliability from elsewhere: {borrowed_from.rstrip('.')}.",
        ),
        tuple(estimates),
    )


def change(estimates: Sequence[Estimate], *, code: str, occasions: Labels, why_shares: str = "") -> Said:
    """Say how average scores moved, how sure that is, and how many rose.

    Parameters
    ----------
    estimates : sequence of Estimate
        From `kit.questions.growth.before_and_after`.
    code : str
        Design of the study.
    occasions : tuple of str
        Labels of the two occasions.
    why_shares : str, optional
        Why change is told in percent, where it is.

    Returns
    -------
    Said
    """
    gain = find(estimates, "mean_gain")
    first, second = find(estimates, "mean_score", "first test"), find(estimates, "mean_score", "second test")
    if code == "D0" or gain is None:
        return Said(
            ("Nobody, or only one student, was tested both times, so nothing can be said about change.",), limits=True
        )
    sentences = [why_shares] if why_shares else []
    if first and second:
        unit = first.unit
        sentences.append(
            f"The average was {show(first.value, unit)} in {occasions[0]} and {show(second.value, unit)} in {occasions[1]}."
        )
    if gain.counted == "choirs":
        sentences.append(f"Each of the {gain.n} choirs counts once, since singers of one choir are alike.")
    sentences += [_moved(gain), _sure(gain)]
    rose = find(estimates, "share_wilson", "rose")
    if rose:
        same, fell = find(estimates, "share_wilson", "stayed the same"), find(estimates, "share_wilson", "fell")
        sentences.append(
            f"Of the {_students(rose.n)}, {_of(rose)} scored higher the second time, {_of(same)} the same and {_of(fell)} lower."
        )
    return Said(tuple(sentences), tuple(estimates))


def size(estimates: Sequence[Estimate]) -> Said:
    """Say the gain in units of how much students differed at the start."""
    found = find(estimates, "d_pre")
    if found is None:
        return Said(())
    sentences = [
        f"Measured against how much students differed at the start, the average moved by {show(found.value, 'SD')} "
        "(SD: standard deviation, a measure of how far apart students are)."
    ]
    if found.interval:
        sentences.append(f"Its plausible range is {show_interval(found)}.")
    return Said(tuple(sentences), (found,))


def individuals(counts: Sequence[Estimate]) -> Said:
    """Say how many students changed by more than scoring noise; for the teacher only."""
    rose, unclear, fell = (
        number(counts, words)
        for words in (
            "rose by more than scoring noise", "changed too little to tell", "fell by more than scoring noise",
        )
    )  # fmt: skip
    return Said(
        (
            f"{_students(rose)} rose by more than scoring noise, {unclear} changed too little to tell, and {fell} fell by "
            "more than scoring noise.",
            "Do not read a single student's arrow from one short test.",
        ),
        tuple(counts),
    )


def starting_points(estimates: Sequence[Estimate]) -> Said:
    """Say what low and high starters gained beside what chance alone would give."""
    gains = [e for e in estimates if e.name == "mean_gain"]
    chance = [e for e in estimates if e.name == "expected_regression"]
    if not gains:
        return Said(
            ("The group is too small, or its first scores too much alike, to look at low and high starters apart.",)
        )
    low, low_chance, high, high_chance = gains[0], chance[0], gains[-1], chance[-1]
    return Said(
        (
            f"The {_group(low)} moved by {show(low.value, low.unit, signed=True)} on average, the {_group(high)} by "
            f"{show(high.value, high.unit, signed=True)}.",
            "Part of that comes by chance alone: who scored low on a bad day tends to score higher the next time, and "
            "the other way round.",
            f"Chance alone would move the {_group(low)} by about {show(low_chance.value, low_chance.unit, signed=True)} and "
            f"the {_group(high)} by about {show(high_chance.value, high_chance.unit, signed=True)}.",
        ),
        tuple(estimates),
    )


def ceiling(estimates: Sequence[Estimate], *, occasions: Labels) -> Said:
    """Say how many students were at the top of the scale, and what that hides."""
    top = find(estimates, "share_wilson", "top score, second test") or find(
        estimates, "share_wilson", "top score, first test"
    )
    if top is None:
        return Said(
            ("The most points that could be earned are not known, so nothing can be said about the top score.",)
        )
    sentences = [f"{_of(top, capital=True)} had the top score in {occasions[1]}."]
    bottom = find(estimates, "share_wilson", "no points, first test")
    if bottom and bottom.value > 0:
        sentences.append(f"{_of(bottom, capital=True)} had no points in {occasions[0]}.")
    if top.value >= NOISE_DECIDES:
        sentences.append("The test could not show how far these students have come; a harder form would.")
    return Said(tuple(sentences), tuple(estimates))


def choirs(estimates: Sequence[Estimate], left_out: Sequence[object]) -> Said:
    """Say how to read the table of choirs, and which are too small for it."""
    sentences = []
    if estimates:
        sentences.append(
            "Choirs stand in alphabetical order; they differ in level, size and teacher, so the table is no comparison of them."
        )
    if left_out:
        named = _listed([f"{entry.about} ({entry.why.split(';')[0].rstrip('.')})" for entry in left_out])
        sentences.append(f"Too small to be shown: {named}.")
    return Said(tuple(sentences), limits=True)


def detectable(estimate: Estimate | None) -> Said:
    """Say what a group like this could have shown."""
    if estimate is None:
        return Said(())
    return Said(
        (
            f"With {_students(estimate.n)} tested twice, a test like this finds an average change of about "
            f"{show(estimate.value, 'SD')} or more four times in five; a change below that would often go unseen.",
        ),
        (estimate,),
    )


def next_steps(facts: object, top: Sequence[Estimate]) -> Said:
    """Suggest what would make the next review say more."""
    steps = []
    if facts.same_form is not False:
        steps.append(
            "Use two forms, and let half of the choir begin with each, so that practice with one melody drops out."
        )
    if facts.own_teacher_rated is not False:
        steps.append("Let a colleague mark a shuffled sample of recordings without knowing which test they are from.")
    at_top = find(top, "share_wilson", "top score, second test")
    if at_top and at_top.value >= NOISE_DECIDES:
        steps.append("Choose a harder form, so that the best readers have room to show what they can do.")
    steps.append("Sing two or three melodies instead of one: one melody says little about one student.")
    steps.append(
        "Start the new routine in one choir earlier than in the next; then each choir is the other's comparison."
    )
    return Said(tuple(steps))


def not_available(part: str, why: str) -> Said:
    """Say in one line that a part of the report cannot be had, and why."""
    return Said((f"{part}: not in this report. {why}",), limits=True)


_TIE = 1e-9


def _moved(gain: Estimate) -> str:
    """Say which way the average went."""
    amount = show(abs(gain.value), gain.unit)
    if bare(gain.value, gain.unit).strip("0. %") == "":
        return "On average scores stayed the same."
    unit = " of the total" if gain.unit == "share" else ""
    return f"On average scores {'rose' if gain.value > 0 else 'fell'} by {amount}{unit}."


def _sure(gain: Estimate) -> str:
    """Say how sure the average change is."""
    if gain.interval is None:
        return "How sure that is cannot be worked out from so few students, or from changes that are all alike."
    who = "choirs" if gain.counted == "choirs" else "students"
    low, high = gain.interval.low, gain.interval.high
    said = f"If we could repeat this with {who} like these, the average change would plausibly lie between "
    said += f"{bare(low, gain.unit, signed=True)} and {show(high, gain.unit, signed=True)}"
    if low <= 0 <= high:
        return f"{said}; that range includes no change at all."
    return f"{said} ({percent_level(gain.interval.level)} interval)."


def _group(estimate: Estimate) -> str:
    """Name a starting group by the end of its about."""
    return estimate.about.rpartition(", ")[2]


def _of(share: Estimate | None, *, capital: bool = False) -> str:
    """Write a share of students with its count, such as ``12 (57 percent)``."""
    if share is None:
        return "none"
    hits = round(share.value * share.n)
    counted = f"{hits} of {_students(share.n)}" if capital else f"{hits}"
    return f"{counted} ({show(share.value, 'share')})"


def _students(count: int) -> str:
    """Write a number of students."""
    return f"{count} student{'' if count == 1 else 's'}"


def _are(count: int) -> str:
    """Choose is or are."""
    return "is" if count == 1 else "are"


def _listed(words: Sequence[str]) -> str:
    """List words with commas and an and."""
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else words[0]
