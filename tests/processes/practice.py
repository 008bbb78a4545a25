"""A practice in a folder of its own, for a server in a process of its own: run as a module.

Makes the tables, a coach, a client who is signed in and an exercise; prints what a phone needs.
"""

import json
import os

import django


def main() -> None:
    """Write the practice into the folder that ``BLOCKWRIGHT_DATA`` names."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.settings")
    django.setup()
    from django.conf import settings  # noqa: PLC0415 - after the settings are known
    from django.test import Client as Browser  # noqa: PLC0415
    from django.utils import timezone  # noqa: PLC0415

    from coaching.library.models import Exercise  # noqa: PLC0415
    from coaching.library.services import load_shared_library  # noqa: PLC0415
    from coaching.start_database import bring_up_to_date  # noqa: PLC0415
    from tests.factories.clients import ClientFactory  # noqa: PLC0415

    bring_up_to_date()
    load_shared_library()
    cleo = ClientFactory.create()
    browser = Browser()
    assert cleo.user is not None
    browser.force_login(cleo.user)
    told = {
        "cookie": browser.cookies[settings.SESSION_COOKIE_NAME].value,
        "exercises": list(Exercise.objects.order_by("pk").values_list("pk", flat=True)[:5]),
        "today": cleo.local_date(timezone.now()).isoformat(),
    }
    print(json.dumps(told))  # noqa: T201 - this is its answer


if __name__ == "__main__":
    main()
