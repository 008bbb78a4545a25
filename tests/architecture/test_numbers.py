"""Every number of the trade stands in the register: none hides in a rule or in an app."""

import ast
from collections.abc import Mapping
from pathlib import Path

import pytest
from django.conf import settings

from coaching.rules.all_numbers import all_numbers, all_tables
from tests.architecture.number_literals import Found, literals, literals_of
from tests.architecture.other_numbers import APPS, DRAWINGS, FORMS, RULES

ROOT = Path(settings.BASE_DIR)
RULE_FILES = ROOT / "coaching/rules"
REGISTERS = (
    "numbers.py",
    "block_numbers.py",
    "body_numbers.py",
    "log_numbers.py",
    "next_block_numbers.py",
    "ability_numbers.py",
    "fall_numbers.py",
    "forecast_numbers.py",
    "return_numbers.py",
)
APP_FOLDERS = ("coaching/blocks", "coaching/library", "sessions", "clients")

Places = dict[tuple[str, str], frozenset[float]]


def in_the_rules() -> Places:
    files = [path for path in sorted(RULE_FILES.glob("*.py")) if path.name not in REGISTERS]
    return {(path.name, where): v for path in files for where, v in literals(path).items()}


def in_the_apps() -> Places:
    files = [
        path
        for folder in APP_FOLDERS
        for path in sorted((ROOT / folder).rglob("*.py"))
        if "migrations" not in path.parts and not any(path.match(form) for form in FORMS)
    ]
    names = {path: str(path.relative_to(ROOT)) for path in files}
    return {
        (names[path], where): values
        for path in files
        if names[path] not in DRAWINGS
        for where, values in literals(path, app=True).items()
    }


def not_listed(found: Places, listed: Mapping[tuple[str, str], tuple[set[float], str]]) -> Places:
    nothing: tuple[set[float], str] = (set(), "")
    left = {place: values - listed.get(place, nothing)[0] for place, values in found.items()}
    return {place: values for place, values in left.items() if values}


def test_no_rule_hides_a_number_of_the_trade():
    # Give it an entry in coaching/rules/numbers.py, or list it with its reason.
    assert not_listed(in_the_rules(), RULES) == {}


def test_no_app_hides_a_number_of_the_trade():
    assert not_listed(in_the_apps(), APPS) == {}


@pytest.mark.parametrize(
    ("found", "listed"), [(in_the_rules, RULES), (in_the_apps, APPS)], ids=["rules", "apps"]
)
def test_the_list_of_other_numbers_names_nothing_that_is_gone(found, listed):
    there = found()
    gone = {place: set(v) - there.get(place, set()) for place, (v, _) in listed.items()}

    assert {place: values for place, values in gone.items() if values} == {}
    assert all(reason for _, reason in listed.values())


def test_every_drawing_and_every_later_file_is_there():
    assert [name for name in DRAWINGS if not literals(ROOT / name, app=True)] == []
    assert [
        form for form in FORMS if not any(list((ROOT / a).glob(form)) for a in APP_FOLDERS)
    ] == []


@pytest.mark.parametrize("name", REGISTERS)
def test_a_register_holds_entries_and_nothing_else(name):
    tree = ast.parse((RULE_FILES / name).read_text())
    body = [node for node in tree.body if not isinstance(node, ast.ImportFrom | ast.Expr)]

    strangers = [node.lineno for node in body if not _is_entry(node)]

    assert strangers == []


def _is_entry(node: ast.stmt) -> bool:
    value = node.value if isinstance(node, ast.Assign) else None
    return isinstance(value, ast.Call) and ast.unparse(value.func) in {"Number", "NumberTable"}


def test_every_entry_is_used_outside_its_register():
    files = [
        path
        for folder in ("coaching", "clients", "sessions")
        for path in (ROOT / folder).rglob("*.py")
        if path.name not in REGISTERS
    ]
    used = {name for path in files for name in _names_read(ast.parse(path.read_text()))}

    assert sorted({*all_numbers(), *all_tables()} - used) == []


def _names_read(tree: ast.AST) -> set[str]:
    reads = [node for node in ast.walk(tree) if isinstance(node, ast.Name | ast.Attribute)]
    return {node.id if isinstance(node, ast.Name) else node.attr for node in reads}


HIDDEN = {
    "LIMIT = 0.42": 0.42,
    "def f(sets): return sets >= 2": 2,
    "def f(sets): return sets[-3:]": 3,
    "def f(x, slack=5): return x": 5,
    "def f(x): return min(x, 0.6)": 0.6,
    "def f(x): return round(7.5, 1)": 7.5,
    "WEEK = 7": 7,
    "def f(x): return x + 2": 2,
}
FREE = (
    "def f(x): return round(100 * x, 3)",
    "def f(x): return x[-1] if len(x) > 1 else 0",
    "def f(x): return x / 60 + x * 2 + x // 7",
    "def f(x, y): return x <= y + 1e-9",
    "NAME = 'of 10'",
    "FLAG = True",
)


@pytest.mark.parametrize(("text", "value"), HIDDEN.items())
def test_a_hidden_number_is_found(text, value):
    assert list(literals_of(text).values()) == [{value}]


@pytest.mark.parametrize("text", FREE)
def test_plain_counting_is_no_number_of_the_trade(text):
    nothing: Found = {}

    assert literals_of(text) == nothing


@pytest.mark.parametrize(
    "text",
    [
        "name = CharField(max_length=80)",
        "end = start + timedelta(days=6)",
        "rule = Q(kg__lte=300)",
        "word = text[:120]",
    ],
)
def test_an_app_may_bound_its_fields_but_a_rule_may_not(text):
    assert literals_of(text, app=True) == {}
    assert literals_of(text) != {}


def test_an_app_may_not_judge_by_a_number_of_its_own():
    assert literals_of("def f(pain): return pain > 5", app=True) == {"f": {5}}
