"""Is one form of the test harder than the other, and what is the gain when that is taken out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.quality.choirs import each_once, noted
from kit.questions.quality.how import how_tested
from kit.questions.quality.items import forms_of_tests
from kit.questions.scale import measure_of, paired_marks
from kit.stats.equating.forms import equate_mean
from kit.stats.means import mean_difference_welch, mean_gain

SAME_FORM = "Everyone sang the same form both times: which form it was is not in the gain, practice with it may be."
NOT_RECORDED = (
    "Which form was sung is not recorded for both tests, so a difference of forms cannot be told from a gain."
)
NEVER_LINKED = (
    "Nobody sang the two forms in the other order, so a difference of forms cannot be told from a gain: "
    "the gain may be the forms'."
)
MORE_FORMS = "More than two forms were sung, and no design links them all."
FEWEST = 3
"""Students of each order that a comparison of forms needs (our rule)."""
FEWEST_IN_A_CHOIR = 2
"""Students of each order that a choir needs in order to count (our rule)."""
TOO_FEW_EACH_ORDER = f"Fewer than {FEWEST} students sang the forms in one of the two orders."
GAINS_ALIKE = (
    "It takes for granted that students of both orders would have gained alike on one form; who sang which form first "
    "should be drawn by lot."
)
ORDERS_COUNT_ONCE = "Each order of the forms counts once, so that the difference of the forms is in neither way in it."
ONE_ORDER = "Students of choirs in which one of the orders was not sung are not in it: {number}."
HALF_SUM = "Welch's t, half the sum of the mean gains of both orders"
FORMS_SOURCE = "kolen-brennan-2004"
NOTHING_SHARED = "No melody is said to be the same on both forms, so no marks link the forms."
ONE_FORM = "Only one form was sung at this test, or its notes are not on file."
_NOTES = ["item", "degree", "alter"]
SHARED_NOTES = "The forms are linked by melodies that both contain: {melodies}."


@dataclass(frozen=True, slots=True)
class Crossover:
    """Students who sang both forms, by the form they sang first.

    Attributes
    ----------
    x, y : Series of float, shape (n,)
        Scores on the first form by name and on the second by name, in `unit`.
    x_first : Series of bool, shape (n,)
        Who sang the first form by name at the first test.
    choirs : Series of str, shape (n,)
        Choirs; empty where none is named.
    forms : pair of str
        Names of the forms.
    unit : str
        Unit of the scores.
    """

    x: pd.Series
    y: pd.Series
    x_first: pd.Series
    choirs: pd.Series
    forms: tuple[str, str]
    unit: str

    @property
    def gains(self) -> pd.Series:
        """Second score minus first."""
        return (self.y - self.x).where(self.x_first, self.x - self.y)


def crossover(pairs: pd.DataFrame) -> Crossover | str:
    """Gather the students who sang two forms, if some sang one first and some the other.

    Counted: students tested both times who sang another form the second time.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    Crossover or str
        The reason, in a sentence, where the forms cannot be told from the gains.
    """
    facts = how_tested(pairs)
    chosen, pre, post = paired_marks(pairs)
    first, second = pairs["pre_form"], pairs["post_form"]
    moved = pre.notna() & (first != "") & (second != "") & (first != second)
    if facts.same_form:
        return SAME_FORM
    if not moved.any():
        return NOT_RECORDED
    forms = sorted({*first[moved], *second[moved]})
    if len(forms) != 2:
        return MORE_FORMS
    x_first = first[moved] == forms[0]
    fewest = min(int(x_first.sum()), int((~x_first).sum()))
    if fewest < FEWEST:
        return TOO_FEW_EACH_ORDER if fewest else NEVER_LINKED
    pre, post = pre[moved], post[moved]
    return Crossover(
        x=pre.where(x_first, post), y=post.where(x_first, pre), x_first=x_first, choirs=pairs.loc[moved, "choir"],
        forms=(forms[0], forms[1]), unit=chosen.unit,
    )  # fmt: skip


def forms_differ(pairs: pd.DataFrame, *, level: float = 0.95) -> Answers:
    """Estimate how much harder one form is, and the gain without that, where some sang either form first.

    Counted: students tested both times who sang two forms. With several choirs, each choir in which both orders were
    sung by 2 students or more counts once; where there are fewer than two such choirs, their students together,
    without an interval.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        ``equate_mean`` about ``"pitch, form A to the scale of form B"``, positive where form A is harder, and
        ``mean_gain`` about ``"pitch, gain without the difference of forms"``. Left out, with the reason, where the
        way the forms were given does not tell forms from gains.
    """
    measure, crossed = measure_of(pairs), crossover(pairs)
    if isinstance(crossed, str):
        return Answers([LeftOut(f"{measure}, difference of forms", crossed)])
    harder = {"about": f"{measure}, form {crossed.forms[0]} to the scale of form {crossed.forms[1]}"}
    gain = {"about": f"{measure}, gain without the difference of forms"}
    options = {"unit": crossed.unit, "level": level}
    choirs = _by_choir(crossed)
    found = _of_choirs(crossed, choirs, harder, gain, options) if len(choirs) > 1 else _of_students(
        crossed, harder, gain, options)  # fmt: skip
    return Answers([noted(found[0], GAINS_ALIKE), noted(found[1], ORDERS_COUNT_ONCE, GAINS_ALIKE)])


def _of_choirs(
    crossed: Crossover, choirs: pd.DataFrame, harder: dict, gain: dict, options: dict
) -> list[Estimate | LeftOut]:
    """Estimate both numbers from choirs that have both orders, each counting once."""
    zero, elsewhere = np.zeros(len(choirs)), ~crossed.choirs.isin(choirs.index)
    nameless = int((crossed.choirs == "").sum())
    others = int(elsewhere.sum()) - nameless
    found = [
        each_once(ask(mean_gain, zero, choirs[column], **about, **options), choirs=len(choirs), nameless=nameless)
        for column, about in (("harder", harder), ("gain", gain))
    ]
    if isinstance(found[0], Estimate):
        found[0] = replace(found[0], name="equate_mean", source=FORMS_SOURCE)
    return [noted(one, *([ONE_ORDER.format(number=others)] if others else [])) for one in found]


def _of_students(crossed: Crossover, harder: dict, gain: dict, options: dict) -> list[Estimate | LeftOut]:
    """Estimate both numbers from single students, without an interval where they sing in several choirs."""
    options = options | {"choirs": len(set(crossed.choirs) - {""})}
    first = crossed.x_first.to_numpy()
    return [
        ask(equate_mean, crossed.x, crossed.y, design="counterbalanced", x_first=first, **harder, **options),
        _gain_of_orders(crossed, **gain, **options),
    ]


def _by_choir(crossed: Crossover) -> pd.DataFrame:
    """Give each choir's form difference and gain, both orders counting half; only choirs that have both orders."""
    found = {}
    for name in sorted(set(crossed.choirs) - {""}):
        here = crossed.choirs == name
        orders = [crossed.gains[here & crossed.x_first], crossed.gains[here & ~crossed.x_first]]
        if min(map(len, orders)) >= FEWEST_IN_A_CHOIR:
            up, down = (order.mean() for order in orders)
            found[name] = {"harder": (up - down) / 2, "gain": (up + down) / 2}
    return pd.DataFrame.from_dict(found, orient="index")


def _gain_of_orders(crossed: Crossover, *, about: str, unit: str, level: float, choirs: int) -> Estimate | LeftOut:
    """Estimate the mean of the two orders' mean gains: half of their sum, which is a difference with one turned."""
    up, down = crossed.gains[crossed.x_first], crossed.gains[~crossed.x_first]
    found = ask(mean_difference_welch, up, -down, about=about, unit=unit, level=level, choirs=choirs)
    if isinstance(found, LeftOut):
        return found
    ends = found.interval and replace(
        found.interval, low=found.interval.low / 2, high=found.interval.high / 2, method=HALF_SUM
    )  # fmt: skip
    return replace(found, name="mean_gain", value=found.value / 2, interval=ends)


def shared_melodies(key: pd.DataFrame, pairs: pd.DataFrame) -> tuple[str, ...]:
    """Find the melodies that two forms have in common, from the key of the test.

    Counted: melodies of the measure of `pairs` that go by the same name on both of two forms and have the same notes
    there, one after another, all of them known.

    Parameters
    ----------
    key : DataFrame
        The scored notes, as `kit.load.items.keys.read_keys` gives them; may be empty.
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    tuple of str
        Their names, in order; none where there are not just two forms.
    """
    if key.empty:
        return ()
    asked = key[key["measure"].isin((measure_of(pairs), ""))].sort_values("item")
    forms = [form for _, form in asked.groupby("form", observed=True)]
    if len(forms) != 2:
        return ()
    one, other = ({name: notes[_NOTES] for name, notes in form.groupby("melody", observed=True)} for form in forms)
    return tuple(
        str(name) for name, notes in one.items()
        if name in other and notes["degree"].notna().all()
        and notes.reset_index(drop=True).equals(other[name].reset_index(drop=True))
    )  # fmt: skip


def forms_linked(
    items: pd.DataFrame, pairs: pd.DataFrame, *, tests: tuple[str, str], shared: Sequence[str] = (), rater: str = "",
    level: float = 0.95,
) -> Answers:  # fmt: skip
    """Estimate how much harder one form is, at each test, from the melodies that both forms contain.

    Counted: students of `pairs` with a mark for every note of the form they sang.

    Parameters
    ----------
    items : DataFrame
        The normalised table ``kit.tables.ITEMS``.
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    tests : pair of str
        The first and the second occasion, as the study file calls them.
    shared : sequence of str, optional
        Melodies, as the marks name them, that are the same on both forms. Two forms may call different melodies
        alike, so none is taken for shared unasked.
    rater : str, optional
        Whose marks count where several raters marked.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        ``equate_mean`` by Tucker's method, about ``"pitch, form A to the scale of form B, first test"``, in points.
        With several choirs without an interval.
    """
    measure = measure_of(pairs)
    if not shared:
        return Answers([LeftOut(f"{measure}, forms linked by shared melodies", NOTHING_SHARED)])
    answers: list[Estimate | LeftOut] = []
    for which, forms in forms_of_tests(items, pairs, tests=tests, rater=rater).items():
        if len(forms) != 2:
            why = MORE_FORMS if len(forms) > 1 else ONE_FORM
            answers.append(LeftOut(f"{measure}, forms linked by shared melodies, {which}", why))
            continue
        (name, x), (other, y) = forms.items()
        link = [form.loc[:, form.columns.get_level_values("melody").isin(shared)] for form in (x, y)]
        everyone = pairs.set_index("student")["choir"].reindex(x.index.append(y.index))
        found = ask(
            equate_mean, *(form.sum(axis=1, skipna=False) for form in (x, y)), design="anchor", unit="points",
            anchors=tuple(form.sum(axis=1, skipna=False) for form in link), level=level,
            about=f"{measure}, form {name} to the scale of form {other}, {which}",
            choirs=len(set(everyone.dropna()) - {""}),
        )  # fmt: skip
        answers.append(noted(found, SHARED_NOTES.format(melodies=", ".join(shared))))
    return Answers(answers)
