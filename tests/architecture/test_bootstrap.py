"""manage.py on a bare machine: what it makes, what it refuses, and what it leaves behind."""

import ast
import importlib.util
import shutil
import subprocess
import sys
import venv
from pathlib import Path
from types import ModuleType

import pytest

PROJECT = Path(__file__).resolve().parents[2]
FAILING_PIP = "print('Collecting django'); print('ERROR: no such host'); raise SystemExit(1)"


@pytest.fixture
def bootstrap(tmp_path, monkeypatch) -> ModuleType:
    """Load manage.py in a folder of its own, with a pip that only notes what it is asked."""
    folder = tmp_path / "a project"
    folder.mkdir()
    monkeypatch.delenv("DATABASE_URL", raising=False)
    for name in ("manage.py", "pyproject.toml", "constraints.txt"):
        shutil.copy(PROJECT / name, folder)
    module = load(folder / "manage.py")
    pip = "import sys, pathlib; pathlib.Path('asked').open('a').write(' '.join(sys.argv) + '\\n')"
    monkeypatch.setattr(module, "pip_command", lambda: [sys.executable, "-c", pip])
    monkeypatch.setattr(module, "make_venv", lambda: bare_venv(module.VENV))
    monkeypatch.chdir(folder)
    return module


def load(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location("bootstrap_under_test", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def bare_venv(folder: Path) -> None:
    venv.EnvBuilder(with_pip=False, clear=True, symlinks=True).create(folder)


def asked(module: ModuleType) -> list[str]:
    notes = module.PROJECT / "asked"
    return notes.read_text().splitlines() if notes.exists() else []


def run_python(*words: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, *words]
    return subprocess.run(command, capture_output=True, text=True, check=False)  # noqa: S603


def test_an_old_python_can_read_the_file_at_all():
    source = (PROJECT / "manage.py").read_text(encoding="utf-8")

    tree = ast.parse(source, feature_version=(3, 6))

    # An old Python evaluates annotations such as list[str] and stops: they must be text.
    hints = [part.annotation for part in ast.walk(tree) if isinstance(part, ast.arg)]
    hints += [part.returns for part in ast.walk(tree) if isinstance(part, ast.FunctionDef)]
    assert hints
    assert not [hint for hint in hints if isinstance(hint, ast.Subscript)]


def test_an_old_python_gets_a_sentence_and_installs_nothing(bootstrap):
    pretend = (
        "import sys, runpy; sys.argv = ['manage.py', 'start']; sys.version_info = (3, 8, 10); "
        "runpy.run_path('manage.py', run_name='__main__')"
    )

    done = run_python("-c", pretend)

    assert done.returncode != 0
    assert "needs Python 3.11 or newer and this is 3.8" in done.stderr
    assert "Traceback" not in done.stderr
    assert not bootstrap.VENV.exists()


def test_no_command_shows_what_can_be_asked(bootstrap, capsys):
    code = bootstrap.main([])

    assert code == 0
    assert "manage.py start --demo" in capsys.readouterr().out
    assert not bootstrap.VENV.exists()


def test_a_mistyped_option_does_not_wait_for_an_installation(bootstrap, capsys):
    with pytest.raises(SystemExit) as stop:
        bootstrap.main(["start", "--dmo"])

    assert stop.value.code == 2
    assert "--dmo" in capsys.readouterr().err
    assert asked(bootstrap) == []


def test_the_first_start_installs_the_pinned_dependencies(bootstrap):
    bootstrap.prepare([])

    [line] = asked(bootstrap)
    assert f"-c {bootstrap.PROJECT / 'constraints.txt'}" in line
    assert "django>=5.2,<5.3" in line
    assert "pytest>=" not in line


def test_later_starts_install_nothing(bootstrap):
    bootstrap.prepare([])

    bootstrap.prepare([])

    assert len(asked(bootstrap)) == 1


def test_testing_adds_the_test_tools_and_a_later_start_keeps_them(bootstrap):
    bootstrap.prepare([])
    bootstrap.prepare(["test"])
    bootstrap.prepare([])

    notes = asked(bootstrap)

    assert len(notes) == 2
    assert "pytest>=9,<10" in notes[1]


@pytest.mark.parametrize("name", ["pyproject.toml", "constraints.txt"])
def test_changed_dependencies_are_installed_again(bootstrap, name):
    bootstrap.prepare(["test"])
    with (bootstrap.PROJECT / name).open("a") as file:
        file.write("# changed\n")

    bootstrap.prepare([])

    assert len(asked(bootstrap)) == 2
    assert "pytest>=9,<10" in asked(bootstrap)[1]


def test_another_version_of_python_gets_a_new_environment(bootstrap):
    bootstrap.prepare([])
    (bootstrap.VENV / "left over").touch()
    (bootstrap.VENV / "blockwright-stamp").write_text("what it was for another Python")
    bootstrap.venv_python().unlink()
    bootstrap.venv_python().write_text("#!/bin/sh\necho 3 10\n")
    bootstrap.venv_python().chmod(0o755)

    bootstrap.prepare([])

    assert not (bootstrap.VENV / "left over").exists()
    assert bootstrap.usable_venv()


def test_a_failed_first_installation_says_what_pip_said_and_leaves_nothing(bootstrap, monkeypatch):
    monkeypatch.setattr(bootstrap, "pip_command", lambda: [sys.executable, "-c", FAILING_PIP])

    with pytest.raises(SystemExit) as stop:
        bootstrap.prepare([])

    assert "check the network connection" in str(stop.value)
    assert str(stop.value).endswith("ERROR: no such host")
    assert not bootstrap.VENV.exists()


def test_without_a_network_the_broken_connection_is_named(bootstrap):
    # What pip 24 prints when it reaches no index: the last line speaks of something else.
    printed = (
        "WARNING: Retrying (total=0) after connection broken by 'Connection refused': /django/\n"
        "ERROR: ResolutionImpossible: for help visit the documentation\n"
    )

    assert bootstrap.telling_line(printed) == "'Connection refused': /django/"
    assert bootstrap.telling_line("") == "nothing"


def test_a_failed_update_keeps_the_environment_that_worked(bootstrap, monkeypatch):
    bootstrap.prepare([])
    monkeypatch.setattr(bootstrap, "pip_command", lambda: [sys.executable, "-c", FAILING_PIP])

    with pytest.raises(SystemExit):
        bootstrap.prepare(["test"])

    assert bootstrap.usable_venv()
    bootstrap.prepare([])  # what was there still counts as installed


def test_a_python_without_ensurepip_and_pip_names_the_remedy(bootstrap, monkeypatch):
    fresh = load(bootstrap.PROJECT / "manage.py")
    monkeypatch.setattr(fresh.importlib.util, "find_spec", lambda _name: None)
    monkeypatch.setattr(fresh, "answers", lambda _command: False)

    with pytest.raises(SystemExit) as stop:
        fresh.prepare([])

    assert "apt install python3-venv" in str(stop.value)
    assert not fresh.VENV.exists()


def test_a_python_without_ensurepip_borrows_the_pip_outside(bootstrap, monkeypatch):
    fresh = load(bootstrap.PROJECT / "manage.py")
    monkeypatch.setattr(fresh, "answers", lambda command: "--python" in command)

    way = fresh.pip_command()

    assert way[1:] == ["-m", "pip", "--python", str(fresh.venv_python())]
    assert way[0] != str(fresh.venv_python())


def test_pip_is_shielded_from_what_would_mislead_it_and_keeps_its_index(bootstrap, monkeypatch):
    for name in bootstrap.MISLEADING:
        monkeypatch.setenv(name, "/elsewhere")
    monkeypatch.setenv("PIP_INDEX_URL", "the firm's own index")

    passed_on = bootstrap.clean_environment()

    assert not set(bootstrap.MISLEADING) & set(passed_on)
    assert {"PIP_USER", "PIP_TARGET", "PYTHONPATH"} <= set(bootstrap.MISLEADING)
    assert passed_on["PIP_INDEX_URL"] == "the firm's own index"


def test_a_postgresql_address_brings_its_driver(bootstrap, monkeypatch):
    monkeypatch.setenv("DATABASE_URL", "postgres://coach@localhost/practice")

    names = bootstrap.requirements(PROJECT / "pyproject.toml", bootstrap.wanted_extras("start"))

    assert any(name.startswith("psycopg") for name in names)


def test_the_test_command_hands_on_its_words_and_the_exit_code(bootstrap):
    shutil.copytree(PROJECT / "coaching", bootstrap.PROJECT / "coaching")
    (bootstrap.PROJECT / "pytest.py").write_text(
        "import os\n"
        "def main(words):\n"
        "    print(words, os.path.isdir(os.environ['BLOCKWRIGHT_DATA']))\n"
        "    return 5\n"
    )
    bootstrap.prepare(["test"])

    done = run_python("manage.py", "test", "-k", "two words")

    assert done.returncode == 5, done.stderr
    assert done.stdout == "['-k', 'two words'] True\n"
