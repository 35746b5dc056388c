"""What normalising a drill log of a million tries costs, against reading its cells and against other ways to do it.

All candidates run in turn in one process; CPU seconds, medians. Peak memory is measured in processes of their own.
"""

import re
import resource
import subprocess
import sys
import time
from pathlib import Path
from statistics import median

import numpy as np
import pandas as pd
import pyarrow as pa
import pyarrow.csv
import pytest

from kit.load.declared import Rules
from kit.load.declared_music import DrillSource, Syllables
from kit.load.drills.read import read_drills
from kit.load.people.identity import identify
from kit.load.people.keys import Crosswalk

ROOT = Path(__file__).parents[2]
ROWS = 1_000_000
ROUNDS = 5
COLUMNS = ["date", "student_id", "choir", "activity", "minutes", "target", "sung", "correct"]

NAMES = {
    "do": 1,
    "doh": 1,
    "re": 2,
    "ray": 2,
    "mi": 3,
    "fa": 4,
    "fah": 4,
    "sol": 5,
    "so": 5,
    "la": 6,
    "ti": 7,
    "tee": 7,
}
SPELT = [["do", "Do", "doh", "DO"], ["re", "Re", "ray", "RE"], ["mi", "Mi", "mi", "MI"], ["fa", "Fa", "fah", "FA"],
         ["so", "So", "sol", "SO"], ["la", "La", "la", "LA"], ["ti", "Ti", "tee", "TI"]]  # fmt: skip
ACTIVITIES = ["echo", "rhythm drill", "pattern echo", "sight reading", "dictation", "scales"]
OURS = {"echo": "echo", "rhythm drill": "rhythm reading", "pattern echo": "echo", "sight reading": "reading in unison",
        "dictation": "dictation", "scales": "scale or arpeggio"}  # fmt: skip
RIGHT = {"y": True, "yes": True, "1": True, "true": True, "n": False, "no": False, "0": False, "false": False}
CHOIRS = ["Larch", "Fir", "Alder", "Juniper", "Willow", "Hazel", "Birch", "Rowan"]


def write_log(path: Path, rows: int) -> Path:
    """Write a log: 360 date spellings, 9,000 student spellings, 480 of minutes, one row in a hundred with a fault."""
    rng = np.random.default_rng(17)
    melodies = [rng.integers(0, 7, rng.integers(3, 13)) for _ in range(400)]
    asked = [" ".join(SPELT[note][0] for note in melody) for melody in melodies]
    right = [" ".join(SPELT[note][style] for note in melody) for melody in melodies for style in range(4)]
    slips, of = [], rng.integers(0, 400, min(rows, 400_000))
    for melody in of.tolist():
        notes = melodies[melody].copy()
        for _ in range(rng.integers(1, 4)):
            notes[rng.integers(0, len(notes))] = rng.integers(0, 7)
        style = rng.integers(0, 4)
        slips.append(" ".join(SPELT[note][style] for note in notes))
    sung, melody_of = pa.array(right + slips), np.concatenate([np.repeat(np.arange(400), 4), of])
    days = pd.bdate_range("2024-09-03", "2025-05-30")
    dates = [str(day.date()) for day in days] + [f"{day.month}/{day.day}/{day.year}" for day in days]
    lengths = [text for s in range(15, 1801, 15)
               for text in (f"{s // 60}:{s % 60:02}", f"{s / 60:g}", f"{s / 60:g} min", f"{s // 60}m{s % 60:02}s")]  # fmt: skip
    pools = {
        "date": [*dates, "2024-13-45", "yesterday"], "student_id": [f"S{n:05}" for n in range(9000)], "choir": CHOIRS,
        "activity": [form(word) for word in ACTIVITIES for form in (str, str.title, str.upper)],
        "minutes": [*lengths, "abc", "-3"], "target": asked, "correct": [*RIGHT, "perhaps", "dunno"],
    }  # fmt: skip
    plain = pa.csv.WriteOptions(quoting_style="none")
    schema = pa.schema([(name, pa.string()) for name in COLUMNS])
    with pa.csv.CSVWriter(path, schema, write_options=plain) as writer:
        for start in range(0, rows, ROWS):
            size = min(ROWS, rows - start)
            slip = rng.random(size) > 0.62
            answer = np.where(slip, rng.integers(len(right), len(sung), size), rng.integers(0, len(right), size))
            picks = {name: rng.integers(0, len(pool) - 2, size) for name, pool in pools.items()}
            picks |= {"target": melody_of[answer], "student_id": (rng.random(size) ** 2 * 9000).astype(int)}
            faulty = np.flatnonzero(rng.random(size) < 0.01)
            for name, rows_of in zip(("date", "minutes", "correct"), np.array_split(faulty, 3), strict=True):
                picks[name][rows_of] = len(pools[name]) - 1 - rng.integers(0, 2, len(rows_of))
            columns = {name: pa.array(pool).take(pa.array(picks[name])) for name, pool in pools.items()}
            columns["sung"] = sung.take(pa.array(answer))
            writer.write_table(pa.table([columns[name] for name in COLUMNS], names=COLUMNS))
    return path


def ours(path: Path) -> tuple[int, int]:
    """Normalise with the kit: the rows used, and the rows and cells set aside."""
    source = DrillSource(file=path.name, student="student_id", right="correct")
    rules = Rules(syllables={"all": Syllables(system="movable_i_up_e_down")})
    log = read_drills(path, source, rules, open_book=lambda: None)
    identify(log.people, rules, Crosswalk())
    account = log.accounts[0]
    return len(log.table()), len(account.aside) + len(account.cells_aside)


def bare(path: Path) -> int:
    """Read the cells and nothing else."""
    return len(pd.read_csv(path))


MINUTES = r"^\s*(?:(\d+):([0-5]\d)|(\d+)m([0-5]\d)s|(\d+(?:\.\d+)?)\s*(?:min)?)\s*$"


def ordinary(path: Path) -> tuple[int, int]:
    """Normalise with string methods on every row, as most scripts do."""
    raw = pd.read_csv(path, dtype=str, keep_default_na=False)
    clean = pd.DataFrame(index=raw.index)
    iso = pd.to_datetime(raw["date"], format="%Y-%m-%d", errors="coerce")
    clean["date"] = iso.fillna(pd.to_datetime(raw["date"], format="%m/%d/%Y", errors="coerce"))
    clean["student_id"] = raw["student_id"].str.strip()
    clean["choir"] = raw["choir"].str.strip()
    clean["activity"] = raw["activity"].str.lower().str.strip().map(OURS)
    parts = raw["minutes"].str.extract(MINUTES).astype(float)
    clean["minutes"] = (parts[0] + parts[1] / 60).fillna(parts[2] + parts[3] / 60).fillna(parts[4])
    for name in ("target", "sung"):
        text = raw[name].str.lower()
        for word in sorted(NAMES, key=len, reverse=True):
            text = text.str.replace(rf"\b{word}\b", str(NAMES[word]), regex=True)
        clean[name] = text.where(text.str.match(r"^\d( \d)*$"))
    clean["right"] = raw["correct"].str.strip().str.lower().map(RIGHT)
    aside = clean.isna()
    listed = [(row, name) for name in clean for row in np.flatnonzero(aside[name])]
    return len(clean), len(listed)


def in_polars(path: Path) -> tuple[int, int]:
    """Normalise in polars, each different cell once."""
    import polars as pl

    raw = pl.read_csv(path, infer_schema=False).with_columns(pl.all().fill_null(""))
    cell = pl.col("raw")
    date = pl.coalesce(cell.str.to_date("%Y-%m-%d", strict=False), cell.str.to_date("%m/%d/%Y", strict=False))
    part = [cell.str.extract(MINUTES, at).cast(pl.Float64) for at in range(1, 6)]
    notes = (
        cell.str.to_lowercase().str.split(" ")
        .list.eval(pl.element().replace_strict({name: str(degree) for name, degree in NAMES.items()}, default=None))
        .list.join(" ", ignore_nulls=False)
    )  # fmt: skip
    reads = {
        "date": date, "student_id": cell.str.strip_chars(), "choir": cell.str.strip_chars(),
        "activity": cell.str.to_lowercase().replace_strict(OURS, default=None),
        "minutes": pl.coalesce(part[0] + part[1] / 60, part[2] + part[3] / 60, part[4]), "target": notes, "sung": notes,
        "correct": cell.str.to_lowercase().replace_strict(RIGHT, default=None),
    }  # fmt: skip
    clean = raw.with_row_index("row")
    for name, read in reads.items():
        different = raw.select(pl.col(name).unique().alias("raw")).with_columns(read.alias(f"{name} read"))
        clean = clean.join(different, left_on=name, right_on="raw", how="left", maintain_order="left")
    aside = sum(clean.filter(pl.col(f"{name} read").is_null()).select("row", name).height for name in reads)
    return clean.height, aside


SQL = {
    "date": "coalesce(try_strptime(raw, '%Y-%m-%d'), try_strptime(raw, '%m/%d/%Y'))",
    "student_id": "trim(raw)", "choir": "trim(raw)",
    "activity": f"map_extract_value({OURS!r}, lower(raw))",
    "minutes": r"""CASE WHEN regexp_full_match(raw, '\d+:[0-5]\d')
        THEN split_part(raw, ':', 1)::DOUBLE + split_part(raw, ':', 2)::DOUBLE / 60
        WHEN regexp_full_match(raw, '\d+m[0-5]\ds')
        THEN split_part(raw, 'm', 1)::DOUBLE + trim(split_part(raw, 'm', 2), 's')::DOUBLE / 60
        WHEN regexp_full_match(raw, '\d+(\.\d+)?( min)?') THEN split_part(raw, ' ', 1)::DOUBLE END""",
    "target": "notes(raw)", "sung": "notes(raw)",
    "correct": f"map_extract_value({ {word: str(told) for word, told in RIGHT.items()}!r}, lower(raw))",
}  # fmt: skip


def in_duckdb(path: Path) -> tuple[int, int]:
    """Normalise in SQL, each different cell once."""
    import duckdb

    base = duckdb.connect(config={"threads": 2})
    names = repr({name: str(degree) for name, degree in NAMES.items()})
    words = f"list_transform(string_split(lower(t), ' '), lambda w: map_extract_value(MAP {names}, w))"
    base.execute(
        f"CREATE MACRO notes(t) AS CASE WHEN len(list_filter({words}, lambda d: d IS NULL)) = 0 "
        f"THEN array_to_string({words}, ' ') END"
    )
    read = f"read_csv('{path}', all_varchar = true, header = true, nullstr = '\x01')"
    base.execute(f"CREATE TABLE log AS SELECT row_number() OVER () AS row, * FROM {read}")
    for name, sql in SQL.items():
        base.execute(
            f"CREATE TABLE m_{name} AS SELECT raw, {sql.replace('value({', 'value(MAP {')} AS val "
            f"FROM (SELECT DISTINCT {name} AS raw FROM log)"
        )
    joins = " ".join(f"LEFT JOIN m_{name} ON log.{name} = m_{name}.raw" for name in SQL)
    base.execute(f"CREATE TABLE clean AS SELECT row, {', '.join(f'm_{n}.val AS {n}' for n in SQL)} FROM log {joins}")
    aside = " UNION ALL ".join(f"SELECT row, '{name}' FROM clean WHERE {name} IS NULL" for name in SQL)
    listed = base.execute(aside).fetchall()
    return base.execute("SELECT count(*) FROM clean").fetchone()[0], len(listed)


def seconds(job, path: Path) -> tuple[float, object]:
    """CPU seconds of a job, all threads, and what it gives."""
    before = time.process_time()
    found = job(path)
    return time.process_time() - before, found


@pytest.fixture(scope="module")
def log(tmp_path_factory):
    """Write the log once."""
    return write_log(tmp_path_factory.mktemp("log") / "log.csv", ROWS)


@pytest.mark.benchmark
def test_against_reading_the_cells(log, capsys):
    """Normalising in full costs at most 3.2 times what pandas takes to read the cells and do nothing with them."""
    rounds = [(seconds(ours, log)[0], seconds(bare, log)[0]) for _ in range(ROUNDS + 1)][1:]
    ratio = median(full for full, _ in rounds) / median(cells for _, cells in rounds)
    with capsys.disabled():
        print(f"\n{ROWS:,} tries: {median(r[0] for r in rounds):.2f} s, bare pandas "
              f"{median(r[1] for r in rounds):.2f} s, ratio {ratio:.2f} (target 3.2)")  # fmt: skip
    assert ratio <= 3.2


@pytest.mark.benchmark
@pytest.mark.parametrize("peer", [in_polars, in_duckdb], ids=["polars", "duckdb"])
def test_against_engines(log, peer, capsys):
    """Normalising costs less than the same in another engine that also reads each different cell once."""
    pytest.importorskip(peer.__name__.removeprefix("in_"))
    rounds = [(seconds(ours, log), seconds(peer, log)) for _ in range(3)]
    assert all(mine[1][0] <= theirs[1][0] == ROWS for mine, theirs in rounds)
    ratio = median(theirs[0] for _, theirs in rounds) / median(mine[0] for mine, _ in rounds)
    with capsys.disabled():
        print(f"\n{ROWS:,} tries, {peer.__name__}: {ratio:.1f} times ours (target: more than 1)")
    assert ratio > 1


@pytest.mark.benchmark
def test_against_ordinary_code(log, capsys):
    """Normalising costs at most a tenth of string methods on every row, and finds the same number of faults."""
    mine, theirs = seconds(ours, log), seconds(ordinary, log)
    with capsys.disabled():
        print(f"\n{ROWS:,} tries, string methods: {theirs[0] / mine[0]:.1f} times ours (target 10)")
    assert mine[1][1] == theirs[1][1]
    assert theirs[0] >= 10 * mine[0]


PEAK = """
import sys
sys.path[:0] = [{root!r}, {here!r}]
from pathlib import Path
from test_drill_log_speed import bare, ours
print({job}(Path({path!r})))
"""


def peak(job: str, path: Path) -> float:
    """Peak memory of a process of its own, in MiB."""
    code = PEAK.format(root=str(ROOT), here=str(Path(__file__).parent), job=job, path=str(path))
    wrapped = f"import resource, subprocess, sys; subprocess.run([sys.executable, '-c', {code!r}], check=True)"
    wrapped += "; print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024)"
    told = subprocess.run([sys.executable, "-c", wrapped], cwd=ROOT, check=True, capture_output=True, text=True)
    return float(re.findall(r"[\d.]+", told.stdout)[-1])


@pytest.mark.benchmark
@pytest.mark.slow
def test_memory_of_ten_million(tmp_path, capsys):
    """At ten million tries the peak is below half of what pandas takes for the bare cells."""
    path = write_log(tmp_path / "log.csv", 10 * ROWS)
    mine, theirs = peak("ours", path), peak("bare", path)
    path.unlink()
    with capsys.disabled():
        print(f"\n{10 * ROWS:,} tries: peak {mine:.0f} MiB, bare pandas {theirs:.0f} MiB, ratio {mine / theirs:.2f}"
              f" (target 0.5); this process {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MiB")  # fmt: skip
    assert mine < theirs / 2
