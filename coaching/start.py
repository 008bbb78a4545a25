"""What ``manage.py start`` does once everything is installed: prepare, say where, serve."""

import json
import logging
import os
import signal
import socket
import sys
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from types import FrameType
from typing import NoReturn

from coaching import environment, start_network
from coaching.start_options import StartOptions, parse

HERE = "127.0.0.1"
EVERYWHERE = "0.0.0.0"  # noqa: S104 - only with --lan, which says so


@dataclass(frozen=True, slots=True)
class Addresses:
    """Where the pages are: on this machine, and for phones when asked for."""

    here: str
    lan: str | None


def run(arguments: list[str]) -> int:
    """Prepare the practice, print its address and serve it until it is stopped.

    Raises:
        BadEnvironmentError: something on this machine stands in the way; names the remedy.
    """
    options = parse(arguments)
    os.umask(0o077)
    addresses, listener = _reserve(options)
    with listener:
        data_dir = environment.prepare_data_directory(options.data_directory())
        os.environ[environment.DATA_VARIABLE] = str(data_dir)
        lines = _practice(options, addresses)
        return _serve(listener, lines)


def _reserve(options: StartOptions) -> tuple[Addresses, socket.socket]:
    lan = start_network.lan_address() if options.lan else None
    listener = start_network.open_port(EVERYWHERE if lan else HERE, options.port)
    if lan:
        known = os.environ.get(environment.HOSTS_VARIABLE, "")
        names = [known, *start_network.lan_hosts(lan)]
        os.environ[environment.HOSTS_VARIABLE] = ",".join(filter(None, names))
    here = f"http://{HERE}:{options.port}"
    return Addresses(here, f"http://{lan}:{options.port}" if lan else None), listener


def _practice(options: StartOptions, addresses: Addresses) -> list[str]:
    import django

    django.setup()
    from coaching import start_database, start_static

    start_database.bring_up_to_date()
    _load_shared()
    start_static.gather()
    links = _demo_links() if options.demo else {}
    return [*_doors(addresses, links), *_phones(addresses, links), "Press Ctrl-C to stop."]


def _load_shared() -> None:
    from coaching.blocks.services import load_shared_templates
    from coaching.library.services import load_shared_library

    load_shared_library()
    load_shared_templates()


def _has_users() -> bool:
    from django.contrib.auth import get_user_model

    return get_user_model().objects.exists()


def _demo_links() -> dict[str, str]:
    """Return the demo's sign-in paths, loading the demo into an empty practice first."""
    from django.conf import settings
    from django.db import transaction

    kept = Path(settings.DATA_DIR) / "demo-links"
    if not _has_users():
        from demo_fixtures.load import load_demo

        print("Loading the demo practice; this happens once.", flush=True)
        with transaction.atomic():  # all of it or nothing, so that the next start can try again
            links = load_demo(datetime.now().astimezone().date())
        kept.write_text(json.dumps(asdict(links)), encoding="utf-8")
    if not kept.is_file():
        print("This folder already holds a practice, so the demo was not added to it.")
        return {}
    return {str(name): str(path) for name, path in json.loads(kept.read_text("utf-8")).items()}


def _doors(addresses: Addresses, links: dict[str, str]) -> list[str]:
    lines = [f"Blockwright is at {addresses.here}/"]
    if links:
        lines.append(f"  demo coach:  {addresses.here}{links['coach_link']}")
        lines.append(f"  demo client: {addresses.here}{links['client_link']}")
    elif not _has_users():
        lines.append(f"  make your coach's account: {addresses.here}{_first_run_path()}")
    lines.append(f"  {_whereabouts()}")
    return lines


def _whereabouts() -> str:
    folder = os.environ[environment.DATA_VARIABLE]
    if os.environ.get(environment.DATABASE_VARIABLE, "").strip():
        return f"the practice is kept in PostgreSQL, its uploads and secret in {folder}"
    return f"the practice is kept in {folder}"


def _first_run_path() -> str:
    from django.conf import settings

    token = environment.kept_secret(Path(settings.SETUP_TOKEN_FILE))
    return f"/first-run/{token}/"


def _phones(addresses: Addresses, links: dict[str, str]) -> list[str]:
    if addresses.lan is None:
        return []
    target = addresses.lan + links.get("client_link", "/")
    return [
        "",
        f"Phones on the same network: {target}",
        start_network.qr_code(target),
        "This address is plain http. Anyone on this network can read what is sent, and a phone",
        "cannot open a page here without a connection; a page already open keeps its sets until",
        "the connection is back. README.md says what a certificate changes.",
        "",
    ]


def _say(lines: list[str]) -> None:
    if hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(errors="replace")
    print("\n".join(lines), flush=True)


def _serve(listener: socket.socket, lines: list[str]) -> int:
    """Say where the pages are once they can answer, and answer until told to stop."""
    import waitress.server

    from coaching.wsgi import application
    from sessions.warm_up import begin_warm_up

    server = waitress.server.create_server(
        application, sockets=[listener], threads=4, connection_limit=1000, ident=None
    )
    # A short queue is normal when a page asks for its scripts at once.
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    signal.signal(signal.SIGTERM, _stop)
    _say(lines)
    begin_warm_up()
    server.run()
    return 0


def _stop(_signal: int, _frame: FrameType | None) -> NoReturn:
    raise SystemExit(0)
