"""Draw the invented district again and again: how often intervals about practice hold the truth.

Transfer: choirs taught ear-first minus choirs taught page-first, on notes of drilled kinds (truth above zero), on other
notes (near zero) and on rhythm (zero); the same students' gain on drilled notes minus that on others (truth: its mean
over all worlds). The dose trap: weaker choirs get more minutes, which do nothing in this world; counted is how often
minutes would be taken for harm. Writes practice_coverage.csv. Takes minutes.
"""

from __future__ import annotations

import csv
import json
import sys
from multiprocessing import Pool
from pathlib import Path

import numpy as np
import pandas as pd

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parents[1] / "synthetic_data"))

from district import bonus, singers  # noqa: E402
from draws import Draws  # noqa: E402
from drill_logs import MINUTES, MINUTES_SHAPE, WEAKER_GET_MORE  # noqa: E402
from melodies import DISTRICT_TEST  # noqa: E402
from plan import CHOIR_NAMES, CHOIR_OF, CHOIRS, DRILL_DAYS, EAR, PAGE, RHYTHM_BEATS  # noqa: E402
from world import (  # noqa: E402
    RIGHT_FAILED,
    WRONG_PASSED,
    ability,
    draw_choirs,
    draw_persons,
    mark,
    rhythm_chance,
    sing,
)

from kit.questions.practice.dose import between  # noqa: E402
from kit.questions.practice.transfer import DRILLED, OTHER, between_approaches, transfer  # noqa: E402

TARGET = HERE / "practice_coverage.csv"
APPROACH = {choir.name: choir.approach for choir in CHOIRS}
CHOIR = np.repeat(CHOIR_OF[:, None], 3, axis=1)
ONE_FORM = np.array([choir.school.one_form for choir in CHOIRS])[CHOIR_OF]


def world(number: int) -> tuple[pd.DataFrame, pd.DataFrame, pd.DataFrame]:
    """Draw one district.

    Returns
    -------
    gains, rhythm, dose : DataFrame
        As the questions about transfer, and about minutes and growth, take them; rhythm stands in place of both kinds.
    """
    draws = Draws("practice coverage", number)
    choirs, persons = draw_choirs(draws, len(CHOIRS)), draw_persons(draws, CHOIR_OF.size)
    able = ability(singers(CHOIR), choirs, persons)[:, :2]
    first = np.where(ONE_FORM, 0, draws.pick(2, CHOIR_OF.size))
    form = np.stack([first, 1 - first], axis=-1)
    right = sing(draws, DISTRICT_TEST, able, bonus(CHOIR)[:, :2], form)
    marked, drilled = mark(draws, right, passed=WRONG_PASSED[:2], failed=RIGHT_FAILED), DISTRICT_TEST.drilled[form]
    names = {"choir": np.array(CHOIR_NAMES)[CHOIR_OF], "student": np.arange(CHOIR_OF.size).astype(str)}
    share = {
        kind: (marked & chosen).sum(axis=(-2, -1)) / chosen.sum(axis=(-2, -1))
        for kind, chosen in (("drilled", drilled), ("other", ~drilled))
    }
    gains = {
        f"{when}_{kind}": values[:, at] for kind, values in share.items() for at, when in ((0, "pre"), (1, "post"))
    }
    beats = (draws.uniform(CHOIR_OF.size, 2, RHYTHM_BEATS) < rhythm_chance(able)[..., None]).mean(axis=-1)
    rhythm = {f"{when}_{kind}": beats[:, at] for kind in share for at, when in ((0, "pre"), (1, "post"))}
    whole = marked.mean(axis=(-2, -1))
    start = singers(CHOIR).start + choirs.start[CHOIR_OF] + persons.start
    return pd.DataFrame(names | gains), pd.DataFrame(names | rhythm), _dose(draws, whole, start)


def _dose(draws: Draws, whole: np.ndarray, start: np.ndarray) -> pd.DataFrame:
    """Draw each choir's minutes as the logs do, and put them beside its start and gain."""
    rows = []
    for at, name in enumerate(CHOIR_NAMES):
        here = at == CHOIR_OF
        mean = MINUTES * (1 - WEAKER_GET_MORE * (start[here].mean() - start.mean()))
        minutes = np.maximum(2, np.round(draws.gamma(MINUTES_SHAPE, len(DRILL_DAYS), mean=mean))).sum()
        rows.append((name, minutes, whole[here, 0].mean(), (whole[here, 1] - whole[here, 0]).mean(), int(here.sum())))
    return pd.DataFrame(rows, columns=["choir", "minutes", "start", "gain", "students"])


def asked(number: int) -> dict[str, tuple[float, float, float]]:
    """Give value and both ends of everything that is asked of one world."""
    gains, rhythm, dose = world(number)
    pair = between_approaches(gains, APPROACH, (EAR, PAGE))
    zero = between_approaches(rhythm, APPROACH, (EAR, PAGE))[0]
    growth, start = between(dose)
    found = {
        "ear-first minus page-first, " + DRILLED: pair[0], "ear-first minus page-first, " + OTHER: pair[1],
        "ear-first minus page-first, rhythm": zero, "drilled minus other, same students": transfer(gains)[2],
        "minutes and growth": growth, "minutes and first scores": start,
    }  # fmt: skip
    return {name: (one.value, one.interval.low, one.interval.high) for name, one in found.items()}


def truths() -> dict[str, float]:
    """Read the true differences, as shares."""
    known = json.loads((HERE.parents[1] / "synthetic_data" / "truth.json").read_text(encoding="utf-8"))
    apart = known["two_larches"]["ear_minus_page"]["strong"]["W1"]
    return {
        "ear-first minus page-first, " + DRILLED: apart["drilled"]["as_marked"]["value"] / 100,
        "ear-first minus page-first, " + OTHER: apart["undrilled"]["as_marked"]["value"] / 100,
        "ear-first minus page-first, rhythm": 0.0,
    }


COLUMNS = ("what", "worlds", "mean", "truth", "covered", "below_zero", "above_zero")


def summary(worlds: list[dict[str, tuple[float, float, float]]]) -> list[dict[str, str | int | float]]:
    """Count over worlds how often 95 % intervals hold the truth, and how often they lie below or above zero."""
    known, rows = truths(), []
    for name in worlds[0]:
        value, low, high = np.array([one[name] for one in worlds]).T
        row = {"mean": value.mean(), "truth": "", "covered": "", "below_zero": (high < 0).mean(),
               "above_zero": (low > 0).mean()}  # fmt: skip
        if not name.startswith("minutes"):
            truth = known.get(name, value.mean())
            row |= {"truth": truth, "covered": ((low <= truth) & (truth <= high)).mean()}
        told = {key: number if number == "" else round(float(number), 4) for key, number in row.items()}
        rows.append({"what": name, "worlds": len(worlds), **told})
    return rows


def main(worlds: int = 2_000) -> None:
    """Write the table."""
    with Pool() as pool, TARGET.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, COLUMNS, lineterminator="\n")
        writer.writeheader()
        writer.writerows(summary(pool.map(asked, range(worlds), chunksize=20)))


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
