#!/usr/bin/env python3
"""The one command: makes its own environment in .venv on first use, then does what was asked.

    python3 manage.py start --demo     look at an invented practice
    python3 manage.py start            open your own practice
    python3 manage.py test             run the tests
    python3 manage.py NAME ...         any Django command

This file must parse on old Pythons, so that they get a sentence and not a syntax error.
"""

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

PROJECT = Path(__file__).resolve().parent
VENV = PROJECT / ".venv"
# These would send the installation somewhere else than into .venv, or hide what is in it.
MISLEADING = (
    "PIP_USER",
    "PIP_TARGET",
    "PIP_PREFIX",
    "PIP_REQUIRE_VIRTUALENV",
    "PYTHONPATH",
    "PYTHONHOME",
    "__PYVENV_LAUNCHER__",
)


def main(arguments: "list[str]") -> int:
    """Prepare the environment if needed, then run the command inside it."""
    refuse_old_python(sys.version_info[:2])
    command = arguments[0] if arguments else "--help"
    if command in ("-h", "--help"):
        print(__doc__.strip())
        return 0
    if command == "start":
        from coaching import start_options

        start_options.parse(arguments[1:])  # a typing mistake should not wait for an installation
    prepare(wanted_extras(command))
    if not inside():
        return start_again_inside(arguments)
    return run(command, arguments[1:])


def refuse_old_python(version: "tuple[int, int]") -> None:
    """Stop with a sentence when this Python is too old."""
    if version < (3, 11):
        sys.exit(
            f"Blockwright needs Python 3.11 or newer and this is {version[0]}.{version[1]}; "
            "install a newer Python and run the same command with it."
        )


def wanted_extras(command: str) -> "list[str]":
    """Name the optional parts that a command needs besides the usual ones."""
    if command == "test":  # its tools include the PostgreSQL driver
        return ["test"]
    return ["postgres"] if os.environ.get("DATABASE_URL", "").startswith("postgres") else []


def prepare(extras: "list[str]") -> None:
    """Make .venv or bring it up to date; do nothing when it already holds what is wanted."""
    stamp = VENV / "blockwright-stamp"
    wanted = fingerprint()
    held = stamp.read_text(encoding="utf-8").split() if stamp.is_file() else []
    if held[:1] == [wanted] and set(extras) <= set(held[1:]) and venv_python().exists():
        return
    made_here = not usable_venv()
    extras = sorted({*extras, *held[1:]})
    print("Installing what Blockwright needs into .venv; this happens once.", flush=True)
    try:
        if made_here:
            make_venv()
        install(requirements(PROJECT / "pyproject.toml", extras))
    except BaseException:
        if made_here:
            shutil.rmtree(str(VENV), ignore_errors=True)
        raise
    stamp.write_text(" ".join([wanted, *extras]) + "\n", encoding="utf-8")


def fingerprint() -> str:
    """Return a short text that changes when the dependencies or the Python version change."""
    digest = hashlib.sha256("{}.{}".format(*sys.version_info[:2]).encode())
    for name in ("pyproject.toml", "constraints.txt"):
        digest.update((PROJECT / name).read_bytes())
    return digest.hexdigest()


def venv_python() -> Path:
    """Return the path of the Python inside .venv."""
    return VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def inside() -> bool:
    """Tell whether this is already the Python inside .venv."""
    return Path(sys.prefix).resolve() == VENV.resolve()


def usable_venv() -> bool:
    """Tell whether .venv was made by this version of Python, and completely."""
    if inside():
        return True
    if not venv_python().exists():
        return False
    finished = (VENV / "blockwright-stamp").exists()
    if not finished and not answers([str(venv_python()), "-c", "import pip"]):
        return False
    asked = [str(venv_python()), "-c", "import sys; print(*sys.version_info[:2])"]
    answer = subprocess.run(asked, stdout=subprocess.PIPE, env=clean_environment(), check=False)
    return answer.stdout.decode().split() == [str(part) for part in sys.version_info[:2]]


def make_venv() -> None:
    """Make .venv, without pip of its own where this Python does not bring one."""
    try:
        import venv

        with_pip = importlib.util.find_spec("ensurepip") is not None
        venv.EnvBuilder(with_pip=with_pip, clear=True, symlinks=os.name != "nt").create(str(VENV))
    except (ImportError, subprocess.CalledProcessError):
        sys.exit(NO_PIP)
    except OSError as error:
        sys.exit(f"The folder {VENV} cannot be made ({error.strerror}); make {PROJECT} writable.")


NO_PIP = (
    "This Python cannot set up an environment with pip; on Debian or Ubuntu run "
    "“apt install python3-venv”, then the same command again."
)


def pip_command() -> "list[str]":
    """Return how to call pip for .venv: its own, or the one of the Python it was made from."""
    outer = getattr(sys, "_base_executable", sys.executable)
    ways = ([str(venv_python()), "-m", "pip"], [outer, "-m", "pip", "--python", str(venv_python())])
    for way in ways:
        if answers([*way, "--version"]):
            return way
    return sys.exit(NO_PIP)


def answers(command: "list[str]") -> bool:
    """Tell whether a command runs and reports success."""
    quiet = subprocess.DEVNULL
    done = subprocess.run(command, stdout=quiet, stderr=quiet, env=clean_environment(), check=False)
    return done.returncode == 0


def clean_environment() -> "dict[str, str]":
    """Return this machine's environment without what would mislead pip or Python."""
    kept = {name: value for name, value in os.environ.items() if name not in MISLEADING}
    return {**kept, "PIP_DISABLE_PIP_VERSION_CHECK": "1"}


def requirements(pyproject: Path, extras: "list[str]") -> "list[str]":
    """Return the dependencies listed in pyproject.toml, with those of the extras."""
    import tomllib

    project = tomllib.loads(pyproject.read_text(encoding="utf-8"))["project"]
    names = list(project["dependencies"])
    for extra in extras:
        names += project["optional-dependencies"].get(extra, [])
    return names


def install(names: "list[str]") -> None:
    """Install the named packages into .venv at the versions in constraints.txt."""
    command = [*pip_command(), "install", "--quiet", "--no-input", "--retries", "2"]
    command += ["-c", str(PROJECT / "constraints.txt"), *names]
    done = subprocess.run(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        env=clean_environment(),
        check=False,
    )
    if done.returncode:
        sys.exit(
            "The installation failed; check the network connection and run the same command "
            f"again. What pip said: {telling_line(done.stdout.decode(errors='replace'))}"
        )


def telling_line(output: str) -> str:
    """Pick the line of pip's output that says why: without a network, its last one misleads."""
    lines = output.strip().splitlines() or ["nothing"]
    broken = [line for line in lines if "connection broken by" in line]
    return broken[-1].split("connection broken by")[1].strip() if broken else lines[-1].strip()


def start_again_inside(arguments: "list[str]") -> int:
    """Run this file again with the Python inside .venv."""
    command = [str(venv_python()), str(PROJECT / "manage.py"), *arguments]
    if os.name != "nt":  # there, exec returns to the prompt at once and loses quoting
        os.execve(command[0], command, clean_environment())
    return subprocess.call(command, env=clean_environment())


def run(command: str, arguments: "list[str]") -> int:
    """Run a command; this is already the Python inside .venv."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.settings")
    from coaching.environment import BadEnvironmentError

    try:
        if command == "start":
            from coaching import start

            return start.run(arguments)
        return run_tests(arguments) if command == "test" else run_django(command, arguments)
    except BadEnvironmentError as refusal:
        sys.exit(str(refusal))


def run_tests(arguments: "list[str]") -> int:
    """Run pytest with a data folder of its own, so that no practice is touched."""
    import pytest

    with tempfile.TemporaryDirectory(prefix="blockwright-test-") as folder:
        os.environ["BLOCKWRIGHT_DATA"] = folder
        return int(pytest.main(arguments))


def run_django(command: str, arguments: "list[str]") -> int:
    """Run one of Django's commands with the project's settings."""
    from django.core.management import execute_from_command_line

    execute_from_command_line(["manage.py", command, *arguments])
    return 0


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(130)
