"""The published studies of sight-singing that the kit knows: originals to repeat, and context; never a yardstick."""

from __future__ import annotations

from importlib.resources import files

import pandas as pd

from kit.errors import UnknownChoiceError
from kit.questions.answers import LeftOut
from kit.questions.replication.originals import Original, original_effect
from kit.stats.studies.printed import read_printed

EFFECT = ("effect", "effect_low", "effect_high", "effect_name", "effect_unit", "effect_note")
AS_PRINTED = "As printed, with its 95 % interval; the sign is turned where needed, so that positive is better."
NO_NUMBERS = "What was seen of this text holds no numbers from which a size can be worked out."
NOT_AN_ORIGINAL = "published_original: {study!r} cannot be repeated from what was printed: {why}"


def published_studies(*, level: float = 0.95) -> pd.DataFrame:
    """List published studies of sight-singing with what they printed and the effect that follows from it.

    Counted: the students (or studies) that each text counts. To be repeated, and to show what others met with;
    designs, tests and singers differ, so no teacher and no choir may be measured by them.

    Parameters
    ----------
    level : float, optional
        Confidence level of the intervals worked out here, a proportion in (0, 1); those of meta-analyses stay as
        printed.

    Returns
    -------
    DataFrame
        A row for each result. Columns: study, year, design (words), kind (what `Original` takes, ``pooled_studies``,
        or empty), n, n_first, n_second, printed statistics as text, direction (which scores were better), went,
        says, caution, source, status (``"seen"`` or ``"from memory"``); and effect, effect_low, effect_high,
        effect_name, effect_unit, effect_note, which are worked out at reading. Positive effects are better; where
        there is none, effect_note says why.
    """
    studies = _printed()
    worked_out = [_effect(row, level) for row in studies.to_dict("records")]
    return pd.concat([studies, pd.DataFrame(worked_out, columns=list(EFFECT))], axis=1)


def published_original(study: str) -> Original:
    """Give a published study in the form that can be compared with ours.

    Counted: the students that the text counts.

    Parameters
    ----------
    study : str
        Its name in the column study of `published_studies`.

    Returns
    -------
    Original

    Raises
    ------
    UnknownChoiceError
        If there is no such study.
    ValueError
        If what was printed is too little.
    """
    studies = _printed().set_index("study", drop=False)
    if study not in studies.index:
        raise UnknownChoiceError("published_original", "study", study, tuple(studies.index))
    row = studies.loc[study].to_dict()
    if row["kind"] not in ("two_groups", "one_group", "correlation"):
        why = row["caution"] or NO_NUMBERS
        raise ValueError(NOT_AN_ORIGINAL.format(study=study, why=why))
    return _original(row)


def _printed() -> pd.DataFrame:
    """Read the table as it stands, every cell as text."""
    with (files("kit.questions") / "published_studies.csv").open(encoding="utf-8") as lines:
        return pd.read_csv(lines, dtype=str, keep_default_na=False)


def _original(row: dict[str, str]) -> Original:
    """Turn a row into an original study."""
    means, sds = ((row[f"{what}_first"], row[f"{what}_second"]) for what in ("mean", "sd"))
    return Original(
        study=row["study"], design=row["kind"], direction=row["direction"], went=row["went"],
        n=tuple(int(row[column]) for column in ("n_first", "n_second") if row[column]),
        means=means if all(means) else (), sds=sds if all(sds) else (),
        **{column: row[column] for column in ("t", "f", "p", "r", "df")},
    )  # fmt: skip


def _effect(row: dict[str, str], level: float) -> tuple[object, ...]:
    """Work out the effect of a row, in the order of `EFFECT`."""
    if row["kind"] == "pooled_studies":
        turn = 1 if row["direction"] == "higher" else -1
        value, *ends = (turn * read_printed(row[column]).value for column in ("d", "d_low", "d_high"))
        return value, min(ends), max(ends), "as printed", "SD", AS_PRINTED
    if not row["kind"]:
        return None, None, None, "", "", NO_NUMBERS
    effect = original_effect(_original(row), level=level)
    if isinstance(effect, LeftOut):
        return None, None, None, "", "", effect.why
    return effect.value, effect.interval.low, effect.interval.high, effect.name, effect.unit, " ".join(effect.notes)
