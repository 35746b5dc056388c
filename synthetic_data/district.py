"""The invented district Two Larches: its choirs, and draws of its students' abilities and singing on three occasions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit
from world import FORM_A, FORM_B, FORM_B_HARDER, Array, Flags, items_of, sing

OCCASIONS = ("Sept", "Dec", "Feb")
FORMS = (items_of(FORM_A), items_of(FORM_B, harder=FORM_B_HARDER))
LEVELS = {"beginning": 0.0, "developing": 0.5, "experienced": 1.1}
BONUS = {"strong": (0.90, 0.85), "weak": (0.45, 0.40), "null": (0.0, 0.0)}
"""What ear-first adds on drilled notes in December and February, in logits."""
GROWTH = {"ear-first": (0.55, 0.35), "page-first": (0.55, 0.35), "usual": (0.35, 0.25)}
"""Growth from September to December and to February, in logits."""
ABILITY, CHOIR_SPREAD, STUDENT_SPREAD, DAY_SPREAD = 0.15, 0.35, 1.0, 0.45
CHOIR_GROWTH_SPREAD, STUDENT_GROWTH_SPREAD = 0.20, 0.35
USUAL_STRONGER = 0.2
BEATS = 24
RHYTHM, RHYTHM_SHARED, RHYTHM_GROWTH = 0.5, 0.7, (0.0, 0.35, 0.30)
"""Logit of a right beat, share of the singing ability that goes into it, and its growth: the same in every approach."""
LEAVES, LEAVES_WEAK, LEAVES_LATER = 0.045, 0.30, 0.02
"""Probability to leave before December, for weak starters of one school instead, and between December and February."""
LEAVING_SCHOOL = "Ninepin Row High"
AWAY = 0.03


@dataclass(frozen=True, slots=True)
class Choir:
    """A choir: where it is, its level, its approach, and whether everybody there sang form A first."""

    name: str
    school: str
    level: str
    approach: str
    teacher: str
    a_then_b: bool = False


def _choirs() -> tuple[Choir, ...]:
    """List the fourteen choirs; the approach was drawn within each school."""
    schools = (
        ("Hobnail Lane Middle", "Hobnail", "T1", ("ear-first", "page-first", "ear-first"), (1,)),
        ("Wicket Lane Middle", "Wicket", "T2", ("page-first", "ear-first", "page-first"), ()),
        ("Thimble Hill High", "Thimble", "T3", ("page-first", "ear-first", "ear-first"), (0,)),
        ("Ninepin Row High", "Ninepin", "T4", ("ear-first", "page-first", "page-first"), (2,)),
    )
    listed = [
        Choir(f"{short} {level}", school, level, approach, teacher, at in trapped)
        for school, short, teacher, approaches, trapped in schools
        for at, (level, approach) in enumerate(zip(LEVELS, approaches, strict=True))
    ]
    usual = [Choir(f"Corduroy {level}", "Corduroy Road Middle", level, "usual", "T5") for level in ("beginning", "developing")]
    return (*listed, *usual)


CHOIRS = _choirs()


@dataclass(frozen=True, slots=True)
class Drawn:
    """One draw of the district; rows are students, columns the three occasions.

    Attributes
    ----------
    choir : int array, shape (n, 3)
        Choir sung in on each occasion, as an index of CHOIRS; the first is the assigned one.
    theta, rhythm_theta : array, shape (n, 3)
        Ability to sing notes and beats, in logits.
    form : int array, shape (n, 3)
        Form sung: 0 for A, 1 for B.
    right : bool array, shape (n, 3, 24)
        Notes sung right, whether heard so or not.
    beats : int array, shape (n, 3)
        Beats right, of 24.
    left, away : bool array, shape (n, 3)
        Gone for good; absent on the day.
    choir_effect, choir_growth : array, shape (choirs,)
        What the choir as a whole adds, in logits.
    """

    choir: NDArray[np.int64]
    theta: Array
    rhythm_theta: Array
    form: NDArray[np.int64]
    right: Flags
    beats: NDArray[np.int64]
    left: Flags
    away: Flags
    choir_effect: Array
    choir_growth: Array


def draw_district(
    rng: np.random.Generator, sizes: Sequence[int], *, bonus: str = "strong", transfers: int = 0,
    effects: tuple[Array, Array] | None = None, choirs: Sequence[Choir] = CHOIRS,
) -> Drawn:  # fmt: skip
    """Draw students, what they can do, and what they sing.

    Parameters
    ----------
    rng : Generator
        Source of all draws.
    sizes : sequence of int
        Students of each choir.
    bonus : str, optional
        Setting of the world, a key of BONUS.
    transfers : int, optional
        Students who change to another choir of their school.
    effects : tuple of array, optional
        Choir effects and choir growths to use; drawn when not given.
    choirs : sequence of Choir, optional
        The choirs, one for each size.

    Returns
    -------
    Drawn
        The district, before anybody marks it.
    """
    members = np.repeat(np.arange(len(choirs)), sizes)
    level, growth = draw_levels(rng, choirs) if effects is None else effects
    theta, shared = draw_abilities(rng, members, choirs, level, growth)
    sung_in = _move(rng, members, choirs, transfers)
    form = _forms(rng, members, choirs)
    bonuses = np.stack([_bonus_of(sung_in[:, when], choirs, bonus, when) for when in range(3)], axis=1)
    right = np.zeros((members.size, 3, BEATS), dtype=bool)
    for when in range(3):
        for version, items in enumerate(FORMS):
            who = form[:, when] == version
            right[who, when] = sing(theta[who, when], items, rng, bonus=bonuses[who, when])
    rhythm = RHYTHM + RHYTHM_SHARED * shared[:, None] + RHYTHM_GROWTH + rng.normal(0, DAY_SPREAD, theta.shape)
    left = _leavers(rng, members, choirs, theta[:, 0])
    return Drawn(
        choir=sung_in, theta=theta, rhythm_theta=rhythm, form=form, right=right, beats=rng.binomial(BEATS, expit(rhythm)),
        left=left, away=(rng.random(left.shape) < AWAY) & ~left, choir_effect=level, choir_growth=growth,
    )  # fmt: skip


def draw_levels(rng: np.random.Generator, choirs: Sequence[Choir]) -> tuple[Array, Array]:
    """Draw what each choir adds to its students' ability and growth."""
    return rng.normal(0, CHOIR_SPREAD, len(choirs)), rng.normal(0, CHOIR_GROWTH_SPREAD, len(choirs))


def draw_abilities(
    rng: np.random.Generator, members: NDArray[np.int64], choirs: Sequence[Choir], level: Array, growth: Array
) -> tuple[Array, Array]:
    """Draw abilities on the three occasions, and the lasting part that rhythm shares.

    Parameters
    ----------
    rng : Generator
        Source of the draws.
    members : int array, shape (n,)
        Choir of each student.
    choirs : sequence of Choir
        The choirs.
    level, growth : array, shape (choirs,)
        What each choir adds.

    Returns
    -------
    theta : array, shape (n, 3)
        In logits.
    shared : array, shape (n,)
        Level, choir and student without the day.
    """
    base = np.array([LEVELS[c.level] + USUAL_STRONGER * (c.approach == "usual") for c in choirs]) + level
    person = base[members] + rng.normal(0, STUDENT_SPREAD, members.size)
    own_growth = growth[members] + rng.normal(0, STUDENT_GROWTH_SPREAD, members.size)
    gained = np.array([(0.0, *GROWTH[c.approach]) for c in choirs])[members]
    gained[:, 1:] += own_growth[:, None]
    return ABILITY + person[:, None] + gained + rng.normal(0, DAY_SPREAD, gained.shape), person


def _bonus_of(sung_in: NDArray[np.int64], choirs: Sequence[Choir], bonus: str, when: int) -> Array:
    """Give the bonus on drilled notes by the choir sung in."""
    size = (0.0, *BONUS[bonus])[when]
    return np.array([size * (choir.approach == "ear-first") for choir in choirs])[sung_in]


def _move(
    rng: np.random.Generator, members: NDArray[np.int64], choirs: Sequence[Choir], transfers: int
) -> NDArray[np.int64]:
    """Let some students change to another choir of their school, most before December and some after."""
    sung_in = np.repeat(members[:, None], 3, axis=1)
    for at, student in enumerate(rng.choice(members.size, transfers, replace=False)):
        own = choirs[members[student]]
        others = [c for c, choir in enumerate(choirs) if choir.school == own.school and choir is not own]
        sung_in[student, 1 if at % 3 else 2 :] = rng.choice(others)
    return sung_in


def _forms(rng: np.random.Generator, members: NDArray[np.int64], choirs: Sequence[Choir]) -> NDArray[np.int64]:
    """Give half of each choir A, B, A and the other half B, A, B; three choirs all have A, B, A."""
    first = np.zeros(members.size, dtype=int)
    for c, choir in enumerate(choirs):
        own = np.flatnonzero(members == c)
        if not choir.a_then_b:
            first[rng.permutation(own)[: own.size // 2]] = 1
    return np.stack([first, 1 - first, first], axis=1)


def _leavers(
    rng: np.random.Generator, members: NDArray[np.int64], choirs: Sequence[Choir], start: Array
) -> Flags:
    """Let students leave; in one school those who began below their choir's middle leave more often."""
    chance = np.full(members.size, LEAVES)
    for c, choir in enumerate(choirs):
        if choir.school == LEAVING_SCHOOL and np.any(members == c):
            chance[(members == c) & (start < np.median(start[members == c]))] = LEAVES_WEAK
    gone = rng.random(members.size) < chance
    later = gone | (rng.random(members.size) < LEAVES_LATER)
    return np.stack([np.zeros(members.size, dtype=bool), gone, later], axis=1)
