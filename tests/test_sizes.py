"""Short functions, short modules, no shortcuts: an exception is a named entry with its reason."""

import ast
from pathlib import Path

ROOT = Path(__file__).parents[1]
MODULES = sorted([*(ROOT / "kit").rglob("*.py"), *(ROOT / "synthetic_data").glob("*.py")])
LONGEST_MODULE, LONGEST_BODY, MOST_PARAMETERS = 300, 40, 9
EXCEPTIONS: dict[str, str] = {}


def functions(path: Path):
    """Yield every function of a module."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    yield from (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef))


def body_lines(node: ast.FunctionDef) -> int:
    """Count the lines of a function without signature and docstring."""
    first = node.body[1] if ast.get_docstring(node) and len(node.body) > 1 else node.body[0]
    return node.end_lineno - first.lineno + 1


def test_modules_are_short():
    """A module has at most 300 lines."""
    long = {str(path.relative_to(ROOT)): len(path.read_text(encoding="utf-8").splitlines()) for path in MODULES}
    assert {name: lines for name, lines in long.items() if lines > LONGEST_MODULE and name not in EXCEPTIONS} == {}


def test_functions_are_short():
    """A function body has at most 40 lines."""
    long = [f"{path.relative_to(ROOT)}:{node.name} {body_lines(node)}" for path in MODULES for node in functions(path)
            if body_lines(node) > LONGEST_BODY]  # fmt: skip
    assert [entry for entry in long if entry.split()[0] not in EXCEPTIONS] == []


def test_functions_have_few_parameters():
    """Few parameters by position; with the keyword-only ones at most nine."""
    many = []
    for path in MODULES:
        for node in functions(path):
            plain = [argument.arg for argument in node.args.args if argument.arg not in ("self", "cls")]
            if len(plain) > 6 or len(plain) + len(node.args.kwonlyargs) > MOST_PARAMETERS:
                many.append(f"{path.relative_to(ROOT)}:{node.name}")
    assert many == []


def test_shipped_code_takes_no_shortcuts():
    """No assert, no bare except, no print outside the command line, no seed from a clock."""
    found = []
    for path in (ROOT / "kit").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            called = node.func.id if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) else ""
            bare = isinstance(node, ast.ExceptHandler) and node.type is None
            if isinstance(node, ast.Assert) or bare or (called == "print" and path.name != "__main__.py"):
                found.append(f"{path.relative_to(ROOT)}:{node.lineno}")
    assert found == []
