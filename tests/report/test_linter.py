"""Every template of the reports, read from the source: no piece of text holds what no design may say."""

import ast
from pathlib import Path

import pytest

from kit.report.claims import REFUSALS
from kit.report.spoken import CODES

REPORT = Path(__file__).parents[2] / "kit" / "report"
FIGURES = REPORT.parent / "figures"
RULES = ("claims.py", "spoken.py")
"""These two hold the refused words and the limits themselves; their own tests read them."""
TEMPLATES = sorted(path for path in [*REPORT.rglob("*.py"), *FIGURES.glob("*.py")] if path.name not in RULES)
EVERYWHERE = [refusal for refusal in REFUSALS if refusal.codes == CODES and refusal.unless is None]
CAUSES = [refusal for refusal in REFUSALS if "D1" in refusal.codes and "D4" not in refusal.codes]
DENIED = ("cannot say", "can say", "cannot tell", "does not", "is not", "not a ", "no claim", "never", "not known")
SAID_ONLY_AT_RANDOM = {("words/comparison.py", '" raised scores by ')}
"""Templates with a word of cause, each behind a test of the design that `tests/report/words/test_comparison.py` renders."""
SAID_ONLY_WHERE_CLOSE = {("words/comparison.py", '" was associated with ')}


def place(path: Path) -> str:
    """Name a module by its folder and its file."""
    return f"{path.parent.name}/{path.name}"


def pieces(path: Path):
    """Yield every piece of text of a module that is no docstring, with its line."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    docs = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.FunctionDef | ast.ClassDef) and ast.get_docstring(node)
    }
    strings = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and not {id(node)} & (docs | strings):
            yield node.lineno, node.value


def found(refusals, allowed):
    """Give each piece of text that holds a refused word and neither denies it nor is allowed by name."""
    return [
        f"{place(path)}:{line} {match.group()!r} in {text!r}"
        for path in TEMPLATES
        for line, text in pieces(path)
        if (place(path), text) not in allowed and " " in text.strip()
        for refusal in refusals
        for match in [refusal.words.search(text)]
        if match and not any(denial in text for denial in DENIED)
    ]


def test_the_search_finds_planted_claims(tmp_path, monkeypatch):
    """A claim in prose, in a caption or in a figure's label is found, so the tests below cannot pass on nothing."""
    planted = tmp_path / "words_planted.py"
    planted.write_text('TOLD = f"The program raised scores by {1}."\nTITLE = "A significant gain"\n', encoding="utf-8")
    monkeypatch.setitem(globals(), "TEMPLATES", [planted])
    assert len(found(CAUSES, set())) == 1
    assert len(found(EVERYWHERE, set())) == 1


def test_there_are_templates():
    """The modules of words, captions and figures are all read."""
    names = {place(path) for path in TEMPLATES}
    assert {
        "words/__init__.py",
        "captions/review.py",
        "words/comparison.py",
        "captions/comparison.py",
        "figures/choirs.py",
    } <= names
    assert sum(1 for path in TEMPLATES for _ in pieces(path)) > 1_000


def test_no_template_holds_what_no_design_may_say():
    """Nothing speaks of significance, size words, rankings, proofs, months of learning or of nothing at all."""
    assert found(EVERYWHERE, set()) == []


def test_no_template_affirms_a_cause_or_an_association():
    """Words of cause and of association stand in templates listed by name only, and elsewhere behind a denial."""
    assert found(CAUSES, SAID_ONLY_AT_RANDOM | SAID_ONLY_WHERE_CLOSE) == []


@pytest.mark.parametrize(("name", "text"), sorted(SAID_ONLY_AT_RANDOM | SAID_ONLY_WHERE_CLOSE))
def test_listed_templates_are_there(name, text):
    """An exception names a template that exists."""
    assert text in [piece for _, piece in pieces(REPORT / name)]
