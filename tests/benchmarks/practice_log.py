"""A drill log of a million lines, as a large district would keep it: lines of classes and of single singers."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pyarrow as pa
import pyarrow.csv

from kit.load.declared import Rules
from kit.load.declared_music import DrillSource, Syllables
from kit.load.drills.read import read_drills
from kit.load.people.identity import identify
from kit.load.people.keys import Crosswalk

CHOIRS, SINGERS, PATTERNS, HEARD, MOST = 100, 40, 40, 55, 5
NAMES = np.array(["do", "re", "mi", "fa", "so", "la", "ti"])
COLUMNS = {
    "date": "Date", "choir": "Choir", "student": "Student", "minutes": "Minutes", "stage": "Stage",
    "pattern": "Pattern", "target": "Asked", "attempt": "Try", "sung": "Sung", "pitch_right": "Pitch ok",
    "syllable_right": "Syllable ok", "class_rating": "Class did",
}  # fmt: skip


def _patterns(rng: np.random.Generator) -> list[np.ndarray]:
    """Draw patterns of two to five notes."""
    return [rng.integers(0, 7, rng.integers(2, MOST + 1)) for _ in range(PATTERNS)]


def _text(notes: np.ndarray) -> str:
    """Write notes by their names."""
    return " ".join(NAMES[notes])


def _answers(patterns: list[np.ndarray]) -> list[str]:
    """List answers: each pattern as it stands, then with each of its notes one step too low."""
    made = []
    for notes in patterns:
        wrong = [np.where(np.arange(notes.size) == at % notes.size, (notes - 1) % 7, notes) for at in range(MOST)]
        made += [_text(notes), *map(_text, wrong)]
    return made


def write_log(path: Path, rows: int, seed: int = 6) -> Path:
    """Write a log: 100 choirs of 40 singers, 40 patterns begun one after another, a class line before each 55 tries."""
    rng = np.random.default_rng(seed)
    patterns = _patterns(rng)
    meeting = np.arange(rows) // (HEARD + 1)
    is_class = np.arange(rows) % (HEARD + 1) == 0
    choir, number = meeting % CHOIRS, meeting // CHOIRS
    days = pd.bdate_range("2025-08-18", periods=int(number.max()) + 1).strftime("%Y-%m-%d").to_numpy()
    singer = choir * SINGERS + rng.integers(0, SINGERS, rows)
    newest = np.minimum(number * PATTERNS // 150, PATTERNS - 1)
    asked = (rng.random(rows) * (newest + 1)).astype(int)
    ability, hard = rng.normal(0.4, 0.9, CHOIRS * SINGERS), rng.normal(0.3, 0.5, PATTERNS)
    chance = 1 / (1 + np.exp(-(ability[singer] - hard[asked] + 0.3 * np.log1p(number))))
    right = rng.random(rows) < chance
    answer = asked * (MOST + 1) + np.where(right, 0, rng.integers(1, MOST + 1, rows))
    text = {
        "Date": days[number], "Choir": np.char.add("Choir ", choir.astype(str)),
        "Student": np.where(is_class, "", np.char.add("S", singer.astype(str))),
        "Minutes": np.where(is_class, rng.integers(3, 12, rows).astype(str), ""),
        "Stage": np.where(is_class, np.where(meeting % 3 == 0, "before notation", "with notation"), ""),
        "Pattern": np.char.add("P", asked.astype(str)),
        "Asked": np.where(is_class, "", np.array([_text(notes) for notes in patterns])[asked]),
        "Try": np.where(is_class, "", "1"), "Sung": np.where(is_class, "", np.array(_answers(patterns))[answer]),
        "Pitch ok": np.where(is_class, "", right.astype(int).astype(str)),
        "Syllable ok": np.where(is_class, "", (rng.random(rows) < 0.9).astype(int).astype(str)),
        "Class did": np.where(is_class, rng.integers(1, 5, rows).astype(str), ""),
    }  # fmt: skip
    table = pa.table({name: pa.array(values.astype(object), pa.string()) for name, values in text.items()})
    pa.csv.write_csv(table, path, pa.csv.WriteOptions(quoting_style="none"))
    return path


def read_log(path: Path) -> pd.DataFrame:
    """Read the log as a study does: everything normalised, students under random ids."""
    rules = Rules(syllables={"all": Syllables(system="movable_i_up_e_down")})
    log = read_drills(path, DrillSource(file=path.name, **COLUMNS), rules, open_book=lambda: None)
    identify(log.people, rules, Crosswalk())
    return log.table()
