"""Invented estimates as the questions give them, plain and awkward."""

from types import SimpleNamespace

import pandas as pd

from kit.estimate import COUNTED_NOT_ESTIMATED, Estimate, Interval

NO_INTERVAL = "Students of one choir are alike, so no interval is given."


def estimate(about, name, value, ends=None, *, unit="points", n=33, counted="students", level=0.95):
    """Make one estimate; without ends it has no interval."""
    interval = ends and Interval(low=ends[0], high=ends[1], level=level, method="t", source="student-1908")
    notes = () if ends else (NO_INTERVAL,)
    return Estimate(
        about=about, name=name, value=value, unit=unit, n=n, source="student-1908", interval=interval, notes=notes,
        counted=counted,
    )  # fmt: skip


def count(number, about, of=44):
    """Make one count."""
    return Estimate(
        about=about, name="count", value=float(number), unit="students", n=of, source="counting",
        notes=(COUNTED_NOT_ESTIMATED,),
    )  # fmt: skip


def flow(both=33, before_only=4, after_only=2, neither=5, strangers=2):
    """Count who was tested when."""
    of = both + before_only + after_only + neither
    numbers = {
        "on the roster": of - strangers, **({"not on the roster": strangers} if strangers else {}),
        "tested before": both + before_only, "tested after": both + after_only, "tested both times": both,
        "tested before only": before_only, "tested after only": after_only, "tested neither time": neither,
    }  # fmt: skip
    return [count(number, about, of) for about, number in numbers.items()]


REASONS = [
    count(number, about)
    for about, number in (("before: absent", 5), ("before: unspecified", 2), ("after: absent", 8), ("after: voice", 1))
]
FACTS = SimpleNamespace(
    same_form=True, forms=("A",), one_maximum=True, maxima=(24.0,), own_teacher_rated=True, raters=("T1",), one_rater=True,
    also_marked=0,
)  # fmt: skip


def before_and_after(gain=3.2, ends=(2.1, 4.3), *, unit="points", n=33, counted="students"):
    """Make what the questions say about change."""
    size = 0.04 if unit == "share" else 1
    ends = ends and tuple(end * size for end in ends)
    first, second = 9.1 * size, (9.1 + gain) * size
    return [
        estimate("pitch, first test", "mean_score", first, (first * 0.9, first * 1.1), unit=unit, counted=counted),
        estimate(
            "pitch, second test", "mean_score", second, (second - size, second + size), unit=unit, counted=counted
        ),
        estimate("pitch, all students tested twice", "mean_gain", gain * size, ends, unit=unit, n=n, counted=counted),
        estimate("pitch, rose", "share_wilson", 0.62, (0.5, 0.7), unit="share"),
        estimate("pitch, stayed the same", "share_wilson", 0.08, (0.01, 0.2), unit="share"),
        estimate("pitch, fell", "share_wilson", 0.30, (0.2, 0.4), unit="share"),
    ]


def thirds(unit="points"):
    """Make the gains of three starting groups, each with what chance alone gives."""
    size = 0.04 if unit == "share" else 1
    made = []
    for name, start, gain, chance in (("lowest", 6, 4.1, 1.3), ("middle", 9, 2.9, -0.02), ("highest", 13, 1.2, -1.2)):
        about = f"pitch, {name} starters"
        made += [
            estimate(f"{about} at the first test", "mean_score", start * size, (start * size, start * size), unit=unit, n=11),
            estimate(about, "mean_gain", gain * size, ((gain - 2) * size, (gain + 2) * size), unit=unit, n=11),
            estimate(about, "expected_regression", chance * size, ((chance - 1) * size, (chance + 1) * size), unit=unit, n=11),
        ]  # fmt: skip
    return made


def leavers(apart=-2.1, ends=(-4.0, -0.2), *, n=6):
    """Make what the questions say about those who missed the second test."""
    about = "pitch, first test"
    return [
        estimate(f"{about}, tested both times", "mean_score", 9.0, (8.0, 10.0)),
        estimate(f"{about}, tested before only", "mean_score", 9.0 + apart, (5.0, 9.0), n=n),
        estimate(
            f"{about}, tested before only minus tested both times", "mean_difference_welch", apart, ends, n=33 + n
        ),
    ]


def ceiling(first=0.21, second=0.33, bottom=0.0):
    """Make the shares at both ends of the scale."""
    return [
        estimate(f"pitch, {what}, {when} test", "share_wilson", value, (value * 0.5, value * 0.5 + 0.5), unit="share")
        for what, when, value in (
            ("top score", "first", first), ("top score", "second", second), ("no points", "first", bottom),
            ("no points", "second", 0.0),
        )
    ]  # fmt: skip


CHOIRS = [
    estimate("pitch, Larch", "mean_gain", -1.2, (-3.0, 0.6), n=20),
    estimate("pitch, Treble 2", "mean_gain", 4.2, (2.0, 6.4), n=18),
]
NOISE = [
    estimate("pitch, one student", "standard_error_of_measurement", 1.8),
    estimate("pitch, one student", "detectable_change", 5.1),
]
BEYOND_NOISE = [
    count(8, "rose by more than scoring noise", 33), count(20, "changed too little to tell", 33),
    count(5, "fell by more than scoring noise", 33),
]  # fmt: skip
DETECTABLE = estimate("pitch, a group like this", "detectable_gain", 1.53)
BANDS = pd.DataFrame({"low": [0, 6, 12, 18], "high": [6, 12, 18, 24], "before": [9, 15, 8, 1], "after": [2, 12, 14, 5]})
LEFT_OUT = (SimpleNamespace(about="Bass"), SimpleNamespace(about="Alto"))
