"""The house rules that a machine can check."""

import ast
from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings
from importlinter import cli

from coaching.rules.sources import SOURCES

ROOT = Path(settings.BASE_DIR)
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "constraints.txt",
    "manage.py",
    "coaching",
    "clients",
    "sessions",
    "templates",
    "static",
    "tests",
    "demo_fixtures",
}


def python_files(*folders: str) -> list[Path]:
    return [
        path
        for folder in folders
        for path in sorted((ROOT / folder).rglob("*.py"))
        if "migrations" not in path.parts
    ]


def test_the_sessions_app_keeps_its_own_label_beside_djangos():
    assert apps.get_app_config("client_sessions").name == "sessions"
    assert apps.get_app_config("sessions").name == "django.contrib.sessions"


def test_imports_run_one_way():
    assert cli.lint_imports(config_filename=str(ROOT / "pyproject.toml"), no_cache=True) == 0


def test_rows_are_put_in_order_by_columns_of_their_own():
    # An order through a relation reads its table too, and the relation's own order after it: six
    # tables to list the lines of a plan, for minutes where PostgreSQL thinks a table empty.
    through = [
        f"{model.__name__}: {field}"
        for label in ("clients", "library", "blocks", "client_sessions")
        for model in apps.get_app_config(label).get_models()
        for field in map(str, model._meta.ordering or ())
        if any(one.is_relation and one.name == field.lstrip("-") for one in model._meta.fields)
    ]

    assert through == []


def test_the_top_level_holds_what_the_map_says():
    # Pictures of failed journeys are kept there and never committed.
    passing = (".", "__", "test-results")
    found = {p.name for p in ROOT.iterdir() if not p.name.startswith(passing)}

    assert found <= TOP_LEVEL


REGISTERS = (
    "numbers.py",
    "block_numbers.py",
    "body_numbers.py",
    "log_numbers.py",
    "ability_numbers.py",
    "fall_numbers.py",
    "forecast_numbers.py",
)


def test_no_number_hides_another_of_its_name():
    trees = [ast.parse((ROOT / "coaching/rules" / name).read_text()) for name in REGISTERS]
    assigned = [node for tree in trees for node in tree.body if isinstance(node, ast.Assign)]
    names = [ast.unparse(node.targets[0]) for node in assigned]

    assert sorted(names) == sorted(set(names))


def test_every_source_is_cited():
    files = [p for p in (ROOT / "coaching").rglob("*.py") if p.name != "sources.py"]
    text = "\n".join(p.read_text() for p in files)

    assert {key for key in SOURCES if key not in text} == set()


# Tables that are looked things up in, one place for each.
TABLES = {"numbers.py", "sources.py"}
SIZED = [
    path
    for path in python_files("coaching", "clients", "sessions", "demo_fixtures")
    if path.name not in TABLES
]


@pytest.mark.parametrize("path", SIZED, ids=lambda path: path.name)
def test_no_file_grows_past_400_lines(path):
    assert len(path.read_text().splitlines()) <= 400


def test_views_are_short():
    views = [p for p in python_files("coaching", "clients", "sessions") if "views" in str(p)]
    long = [
        f"{path.relative_to(ROOT)}: {node.name}"
        for path in views
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.FunctionDef) and _length(node) > 25
    ]

    assert long == []


def _length(node: ast.FunctionDef) -> int:
    body = node.body[1:] if ast.get_docstring(node) else node.body
    return (node.end_lineno or 0) - body[0].lineno + 1 if body else 0


def test_no_function_grows_past_40_lines():
    long = [
        f"{path.relative_to(ROOT)}: {node.name}"
        for path in python_files("coaching", "clients", "sessions", "demo_fixtures")
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.FunctionDef) and _length(node) > 40
    ]

    assert long == []


def test_every_page_template_has_a_test_of_its_name():
    pages = [p.parent.name for p in (ROOT / "templates").rglob("page.html")]
    tests = {p.stem.removeprefix("test_") for p in (ROOT / "tests").rglob("test_*.py")}

    assert sorted(set(pages) - tests) == []


@pytest.mark.parametrize("word", ["hx-on", "style=", "onclick", "<style", "javascript:"])
def test_no_template_needs_what_the_content_policy_forbids(word):
    guilty = [
        str(path.relative_to(ROOT))
        for path in (ROOT / "templates").rglob("*.html")
        if word in path.read_text()
    ]

    assert guilty == []


def test_no_template_loads_from_another_host():
    guilty = [
        str(path.relative_to(ROOT))
        for path in (ROOT / "templates").rglob("*.html")
        if any(
            f'{name}="{scheme}' in path.read_text()
            for name in ("src", "href")
            for scheme in ("http:", "https:", "//")
        )
    ]

    assert guilty == []


@pytest.mark.parametrize("name", ["constraints.txt", "pyproject.toml"])
def test_no_dependency_file_names_a_host(name):
    assert "://" not in (ROOT / name).read_text()
