"""Check the house limits: file lengths, names, docstrings, and that the core stays pure.

Run as ``python tools/check_layout.py``; prints one line per breach and exits 1 when there is any.
"""

import argparse
import ast
import statistics
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
CORE = ("case", "anatomy", "mechanics", "access", "repair", "healing", "rehab", "outcome", "theatre", "course")
FORBIDDEN_CALLS = {"open", "print", "input", "eval", "exec"}
FORBIDDEN_NAMES = {"utils", "util", "common", "helpers", "helper", "managers", "manager", "core", "services", "misc"}
ALLOWED_NUMBERS = {0, 1, 2, 3, 4, 0.5}
CHOICE = "Numerical choice:"
LONGEST_FILE = 400
MEDIAN_FILE = 110
PUBLIC_NAMES = 8
VALUE_BASES = {"NamedTuple", "Protocol", "BaseModel", "Strict", "Enum", "CuffError", "ValueError"}
ROUTES = {"get", "post", "put", "delete", "patch"}


def parsed(path: Path) -> ast.Module:
    """The syntax tree of one file."""
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


def constant_names(statement: ast.stmt) -> list[str]:
    """The names a module-level assignment binds."""
    if isinstance(statement, ast.Assign):
        return [t.id for t in statement.targets if isinstance(t, ast.Name)]
    if isinstance(statement, ast.AnnAssign) and isinstance(statement.target, ast.Name):
        return [statement.target.id]
    return []


def text_of(statement: ast.stmt) -> str:
    """The text of a bare string statement, or an empty string."""
    if isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant):
        return statement.value.value if isinstance(statement.value.value, str) else ""
    return ""


def is_choice(statement: ast.stmt, following: ast.stmt | None) -> bool:
    """Whether a statement is an UPPER_CASE constant followed by a docstring that names it a numerical choice."""
    names = constant_names(statement)
    upper = bool(names) and all(name.isupper() for name in names)
    return upper and following is not None and text_of(following).lstrip().startswith(CHOICE)


def is_allowed(value: object) -> bool:
    """Whether a literal is no number, or one of the few numbers that carry no measured meaning."""
    if isinstance(value, bool) or not isinstance(value, int | float | complex):
        return True
    if isinstance(value, complex):
        return value.real == 0 and value.imag in ALLOWED_NUMBERS
    return value in ALLOWED_NUMBERS


def bare_numbers(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Line and value of each number that stands in core code without being a named numerical choice."""
    for statement, following in zip(tree.body, [*tree.body[1:], None], strict=True):
        if is_choice(statement, following):
            continue
        for node in ast.walk(statement):
            if isinstance(node, ast.Constant) and not is_allowed(node.value):
                yield node.lineno, repr(node.value)


def forbidden_calls(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Line and name of each call of a built-in that touches disk, screen, keyboard or runs text."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in FORBIDDEN_CALLS:
            yield node.lineno, node.func.id


def decorators(node: ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef) -> set[str]:
    """The last name of each decorator, such as ``overload`` or, for ``@api.get(...)``, ``get``."""
    calls = [d.func if isinstance(d, ast.Call) else d for d in node.decorator_list]
    return {d.attr if isinstance(d, ast.Attribute) else d.id for d in calls if isinstance(d, ast.Attribute | ast.Name)}


def is_private(path: Path) -> bool:
    """Whether a module is the affair of its own folder."""
    return path.name.startswith("_") and path.name != "__init__.py"


def does_something(node: ast.stmt) -> bool:
    """Whether a statement defines a public function or class that acts: no plain value, protocol or web route."""
    if not isinstance(node, ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef) or node.name.startswith("_"):
        return False
    if isinstance(node, ast.ClassDef):
        bases = {b.attr if isinstance(b, ast.Attribute) else getattr(b, "id", "") for b in node.bases}
        return "dataclass" not in decorators(node) and not bases & VALUE_BASES
    return not decorators(node) & ROUTES


def public_definitions(body: list[ast.stmt]) -> Iterator[ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef]:
    """Public functions and classes of a body, and the public methods within its public classes."""
    for node in body:
        if not isinstance(node, ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef) or node.name.startswith("_"):
            continue
        if "overload" in decorators(node):
            continue
        yield node
        if isinstance(node, ast.ClassDef):
            yield from public_definitions(node.body)


def silent_names(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Line and name of each public thing without a docstring."""
    if ast.get_docstring(tree) is None:
        yield 1, "the module"
    for node in public_definitions(tree.body):
        if ast.get_docstring(node) is None:
            yield node.lineno, node.name


def core_breaches(package: Path) -> Iterator[str]:
    """Breaches of purity in the core folders."""
    for folder in CORE:
        for path in sorted((package / folder).rglob("*.py")):
            tree = parsed(path)
            for line, value in bare_numbers(tree):
                yield f"{path}:{line}: the number {value} stands in core code; make it a row or a numerical choice"
            for line, name in forbidden_calls(tree):
                yield f"{path}:{line}: core code calls {name}; hand the value in as an argument"


def name_breaches(package: Path) -> Iterator[str]:
    """Files and folders whose name says nothing about the trade."""
    for path in sorted(package.rglob("*")):
        if "__pycache__" not in path.parts and path.stem.strip("_").lower() in FORBIDDEN_NAMES:
            yield f"{path}: the name {path.stem} says nothing; name it after what it does"


def length_breaches(package: Path, others: tuple[Path, ...] = ()) -> Iterator[str]:
    """Files that are too long, and a package whose median file is."""
    lengths = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in sorted(package.rglob("*.py"))}
    more = {p: len(p.read_text(encoding="utf-8").splitlines()) for o in others for p in sorted(o.rglob("*.py"))}
    for path, lines in {**lengths, **more}.items():
        if lines > LONGEST_FILE:
            yield f"{path}: {lines} lines; split it, no file has more than {LONGEST_FILE}"
    written = [n for path, n in lengths.items() if path.name != "__init__.py"]
    if written and statistics.median(written) > MEDIAN_FILE:
        yield f"{package}: the median file has {statistics.median(written):g} lines; keep it at {MEDIAN_FILE} or less"


def docstring_breaches(package: Path) -> Iterator[str]:
    """Public names without a docstring, and modules with too many public names."""
    for path in sorted(package.rglob("*.py")):
        tree = parsed(path)
        for line, name in silent_names(tree):
            yield f"{path}:{line}: {name} has no docstring; say what it does, in which unit"
        count = sum(does_something(node) for node in tree.body)
        if count > PUBLIC_NAMES and not is_private(path):
            yield f"{path}: {count} public functions; one file holds one thing, {PUBLIC_NAMES} at most"


def breaches(package: Path, others: tuple[Path, ...] = ()) -> list[str]:
    """Every breach of the house limits in a package and in the folders that stand beside it."""
    checks = (core_breaches, name_breaches, docstring_breaches)
    return [line for check in checks for line in check(package)] + list(length_breaches(package, others))


def main(arguments: list[str] | None = None) -> int:
    """Print the breaches; 1 when there is any."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--package", type=Path, default=ROOT / "src" / "cuffwright")
    parser.add_argument("--others", type=Path, nargs="*", default=[ROOT / "tests", ROOT / "tools"])
    chosen = parser.parse_args(arguments)
    found = breaches(chosen.package, tuple(chosen.others))
    for line in found:
        print(line)
    print(f"{len(found)} breach{'es' if len(found) != 1 else ''} of the house limits")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
