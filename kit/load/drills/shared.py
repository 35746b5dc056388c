"""The choirs that the lines of a drill log are about: each spelt one way, and told from others of its name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from kit.load.codes import smallest
from kit.load.columns import plain
from kit.load.drills.lines import Log
from kit.load.drills.people import NOBODY, People
from kit.load.drills.table import Columns
from kit.load.drills.values import Fault
from kit.load.people.shared_choirs import ONE_SPELLING, RULE, UNCLEAR, WRITE_SCHOOL, SharedChoirs

CHOIR_UNCLEAR = Fault("choir_unclear", UNCLEAR, f"{WRITE_SCHOOL}, or choir_is for this log in study.toml.")


def tell_choirs_apart(log: Log, columns: Columns, people: People, gone: np.ndarray, shared: SharedChoirs) -> np.ndarray:
    """Give choirs of a shared name their own in the lines that name a student.

    Parameters
    ----------
    log : Log
        Its lines.
    columns : Columns
        What was read of them; the choirs are put right.
    people : People
        Who is named, identified.
    gone : ndarray of bool, shape (n,)
        Lines that are set aside.
    shared : SharedChoirs
        Who is of which school.

    Returns
    -------
    ndarray of bool, shape (n,)
        Lines that do not tell which choir is meant.
    """
    codes, texts = _spelt_one_way(log, *columns.texts["choir"], mostly=shared.spelt)
    columns.texts["choir"] = codes, texts
    unclear = np.zeros(len(codes), bool)
    several = [at for at, text in enumerate(texts) if shared.shares(text)]
    lines = np.flatnonzero(np.isin(codes, several) & ~gone) if several else ()
    if not len(lines):
        return unclear
    students, names = people.study_ids(), list(texts)
    codes = codes.astype(smallest(len(texts) + len(shared.named)))
    pairs, which = np.unique(np.stack([codes[lines], people.codes[lines]]), axis=1, return_inverse=True)
    for at, (choir, person) in enumerate(pairs.T.tolist()):
        own = lines[which.reshape(-1) == at]
        name = "" if person == NOBODY else shared.name(texts[choir], students[person])
        if not name:
            unclear[own] = True
            continue
        if name not in names:
            names.append(name)
        codes[own] = names.index(name)
        log.account.change(RULE, int(log.rows[own[0]]), texts[choir], name, times=len(own))
    columns.texts["choir"] = codes, names
    return unclear


def _spelt_one_way(
    log: Log, codes: np.ndarray, texts: Sequence[str], mostly: Mapping[str, str]
) -> tuple[np.ndarray, list[str]]:
    """Spell each choir as the other files mostly do, else as the log first does."""
    first = {plain(text): text for text in reversed(texts)} | dict(mostly)
    meant = [first[plain(text)] if text else text for text in texts]
    if meant == list(texts):
        return codes, list(texts)
    names = list(dict.fromkeys(meant))
    for at, (text, name) in enumerate(zip(texts, meant, strict=True)):
        if text != name and (lines := np.flatnonzero(codes == at)).size:
            log.account.change(ONE_SPELLING, int(log.rows[lines[0]]), text, name, times=lines.size)
    return np.array([names.index(name) for name in meant], codes.dtype)[codes], names
