"""Who may import whom: everyone speaks the words of the ground floor; only questions join rows to formulas."""

import ast
from pathlib import Path

KIT = Path(__file__).parents[1] / "kit"
GROUND = {"errors", "estimate", "sources", "glossary", "tables", "reasons", "plaintext", "table", "music_tables"}
STUDY = GROUND | {"load", "stats", "questions", "figures", "report"}
MAY = {
    "load": GROUND,
    "stats": GROUND,
    "figures": GROUND,
    "questions": GROUND | {"stats"},
    "report": GROUND | {"figures"},
    "faults": GROUND,
    "purpose": GROUND | {"questions"},
    "settings": GROUND | {"load", "questions", "faults", "purpose"},
    "study_tables": STUDY | {"settings", "faults"},
    "study": STUDY | {"settings", "study_tables"},
    "check": STUDY | {"settings", "study", "faults", "check_parts", "check_html", "undeclared"},
    "undeclared": GROUND | {"load"},
    "proposal": GROUND | {"load", "settings", "undeclared"},
    "new": GROUND | {"load", "faults", "proposal", "undeclared", "blank"},
    "make": STUDY | {"settings", "study", "new"},
    "each": STUDY | {"settings", "study", "new", "make", "faults"},
    "blank": GROUND,
    "check_parts": STUDY | {"settings", "study", "faults"},
    "check_html": STUDY | {"settings", "study", "faults", "check_parts"},
    "codebook": GROUND,
    "datapackage": GROUND | {"codebook"},
    "small_groups": GROUND,
    "code_words": GROUND | {"load", "settings", "study"},
    "deidentify": GROUND | {"load", "settings", "study", "code_words", "small_groups"},
    "export": STUDY | {"settings", "study", "codebook", "datapackage", "deidentify"},
    "progress": GROUND,
    "__init__": set(),
    "__main__": STUDY | {"settings", "study", "check", "new", "make", "progress", "export", "check_html", "each"},
} | dict.fromkeys(GROUND, GROUND)
NEVER = {
    "stats": {"matplotlib", "seaborn"},
    "figures": {"scipy", "statsmodels"},
    "report": {"scipy", "statsmodels"},
    "load": {"scipy", "matplotlib", "statsmodels"},
}


def imported(path: Path):
    """Yield every module that a file imports, as its dotted parts."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: write imports in full"
            yield from (f"{node.module}.{alias.name}".split(".") for alias in node.names)
        elif isinstance(node, ast.Import):
            yield from (alias.name.split(".") for alias in node.names)


def wrong_imports():
    """Yield each import that breaks a floor."""
    for path in sorted(KIT.rglob("*.py")):
        part = path.relative_to(KIT).with_suffix("").parts[0]
        for name in imported(path):
            if name[0] == "kit" and len(name) > 1 and name[1] not in MAY[part] | {part}:
                yield f"kit/{path.relative_to(KIT)} may not import {'.'.join(name)}"
            if name[0] in NEVER.get(part, ()):
                yield f"kit/{path.relative_to(KIT)} may not import {name[0]}"


def test_imports_go_only_downwards():
    """No module imports from a floor above its own."""
    assert not list(wrong_imports())


def test_every_part_has_a_floor():
    """A new module at the top of the package is given its floor before it is used."""
    parts = {path.relative_to(KIT).with_suffix("").parts[0] for path in KIT.rglob("*.py")}
    assert parts == set(MAY)
