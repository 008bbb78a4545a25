"""Which number literals of a file are not plain counting: what the test of numbers looks at.

Free are 0 and 1; 2 to double, halve, square or take pairs; 100, 60, 3600 and 7 to turn one unit
into another; the digits of ``round``; a guard against rounding. In an app also 2, the scales, and
what a field, a column, a place in a list, the status of an answer or the end of a week needs.
Everything else must be a registered number, or be listed with its reason.
"""

import ast
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

GUARD = 1e-5
SCALES = {100, 60, 3600, 7}
_SCALING = (ast.Mult, ast.Div, ast.FloorDiv, ast.Mod, ast.Pow)
_PAIRING = {"combinations", "round", "permutations"}
FIELD_WORDS = {
    *("max_length", "min_length", "max_digits", "decimal_places", "min_value", "max_value"),
    *("status", "status_code", "batch_size", "rows", "border"),
}
_CONSTRAINT = ("__gte", "__lte", "__range")
STATUSES = {200, 422}
Found = dict[str, frozenset[float]]


def literals(path: Path, *, app: bool = False) -> Found:
    """The numbers that are not free, by the function or the name that holds them."""
    return literals_of(path.read_text(), app=app)


def literals_of(text: str, *, app: bool = False) -> Found:
    """The same for the text of a file."""
    tree = ast.parse(text)
    parents = {child: node for node in ast.walk(tree) for child in ast.iter_child_nodes(node)}
    found: dict[str, set[float]] = defaultdict(set)
    for node in ast.walk(tree):
        value = node.value if isinstance(node, ast.Constant) else None
        if not isinstance(value, int | float) or isinstance(value, bool):
            continue
        chain = list(_chain(node, parents))
        if not _is_free(value, chain) and not (app and _is_of_a_field(value, chain)):
            found[_where(chain)].add(value)
    return {where: frozenset(values) for where, values in found.items()}


def _chain(node: ast.AST, parents: dict[ast.AST, ast.AST]) -> Iterator[ast.AST]:
    """The literal, then what holds it, then what holds that, up to the file."""
    while True:
        yield node
        if node not in parents:
            return
        node = parents[node]


def _is_free(value: float, chain: list[ast.AST]) -> bool:
    if value in {0, 1} or abs(value) < GUARD:
        return True
    holder = chain[1]
    if isinstance(holder, ast.Call) and _name(holder.func) in _PAIRING:
        return holder.args[0] is not chain[0]
    scaling = isinstance(holder, ast.BinOp) and isinstance(holder.op, _SCALING)
    return scaling and (value == 2 or value in SCALES)


def _is_of_a_field(value: float, chain: list[ast.AST]) -> bool:
    words = {node.arg for node in chain if isinstance(node, ast.keyword)}
    of_a_week = value == 6 and "days" in words
    constraint = any(word and word.endswith(_CONSTRAINT) for word in words)
    place = any(isinstance(node, ast.Slice | ast.Subscript) for node in chain[1:3])
    plain = value == 2 or value in SCALES or value in STATUSES
    return plain or of_a_week or constraint or place or bool(words & FIELD_WORDS)


def _where(chain: list[ast.AST]) -> str:
    names = [node.name for node in chain if isinstance(node, ast.FunctionDef | ast.ClassDef)]
    if not names:
        targets = [_target(node) for node in chain if isinstance(node, ast.Assign | ast.AnnAssign)]
        names = targets[:1]
    return ".".join(reversed(names)) or "the file"


def _target(node: ast.Assign | ast.AnnAssign) -> str:
    return ast.unparse(node.targets[0] if isinstance(node, ast.Assign) else node.target)


def _name(node: ast.expr) -> str:
    return node.attr if isinstance(node, ast.Attribute) else ast.unparse(node)
