"""A practice in a folder of its own, for programs that measure."""

import os
import statistics
import tempfile
import time
from collections.abc import Callable, Sequence
from datetime import date

from demo_fixtures.people import PEOPLE, DemoClient


def open_practice(people: Sequence[DemoClient] = PEOPLE, today: date | None = None) -> date:
    """Set Django up on a fresh data folder with the demo practice, or other people; returns the day.

    The demo counts back from the machine's own day, or from another one.
    """
    today = today or date.today()  # noqa: DTZ011
    os.environ["BLOCKWRIGHT_DATA"] = tempfile.mkdtemp(prefix="blockwright-benchmark-")
    os.environ["DJANGO_SETTINGS_MODULE"] = "coaching.settings"
    import django  # noqa: PLC0415 - the data folder must be chosen before settings are read

    django.setup()
    from django.core.management import call_command  # noqa: PLC0415
    from django.test.utils import setup_test_environment  # noqa: PLC0415

    from coaching.blocks.services import load_shared_templates  # noqa: PLC0415
    from coaching.library.services import load_shared_library  # noqa: PLC0415
    from demo_fixtures.load import load_demo  # noqa: PLC0415

    setup_test_environment()
    call_command("migrate", verbosity=0)
    call_command("collectstatic", verbosity=0, interactive=False)
    load_shared_library()
    load_shared_templates()
    started = time.perf_counter()
    load_demo(today, people)
    print(f"demo practice loaded in {time.perf_counter() - started:.1f} s")  # noqa: T201
    return today


def milliseconds(act: Callable[[], object], times: int = 15) -> float:
    """Median time of an act after one call to warm up [ms]."""
    act()
    spent = []
    for _ in range(times):
        started = time.perf_counter()
        act()
        spent.append((time.perf_counter() - started) * 1000)
    return statistics.median(spent)
