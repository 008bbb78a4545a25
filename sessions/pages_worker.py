"""What the service worker of Today needs to know, and how the app is installed on a phone."""

import hashlib
import json
from typing import Any

from django.templatetags.static import static
from django.urls import reverse

from clients.static_parts import source
from clients.static_storage import served_parts
from sessions.shown_session import DAYS_OPEN

PATIENCE_MS = 3000
"""How long a page may take from the network before the kept one is shown [ms]."""

SHELL = (
    "css/app.css",
    "js/theme.js",
    "js/phone/pages/today.js",
    "js/phone/pages/plain.js",
    "js/phone/pages/offline.js",
    "icons/icon.svg",
)

PAPER = "#f9f4eb"
"""--paper of tokens.css by day; a manifest knows no other theme and no oklch."""


def worker_facts() -> str:
    """Return as JSON what the worker keeps; another release of any file gives another version."""
    names = served_parts(*SHELL)
    digest = hashlib.sha256()
    for name in names:
        digest.update(f"{static(name)}\n{source(name)}\n".encode())
    facts = {
        "version": digest.hexdigest()[:12],
        "files": [static(name) for name in names],
        "home": reverse("sessions:today"),
        "offline": reverse("sessions:today-offline"),
        "extras": [reverse("sessions:unplanned"), reverse("sessions:today-exercises")],
        "days": DAYS_OPEN,
        "patience": PATIENCE_MS,
    }
    return json.dumps(facts, indent=1)


def manifest() -> dict[str, Any]:
    """Return how a phone shows the app once it is on its home screen."""
    icons = [("icon-192.png", 192, "any"), ("icon-512.png", 512, "any")]
    icons.append(("icon-maskable-512.png", 512, "maskable"))
    return {
        "id": reverse("sessions:today"),
        "name": "Blockwright",
        "short_name": "Blockwright",
        "start_url": reverse("sessions:today"),
        # My log and signing in belong to it too.
        "scope": "/",
        "display": "standalone",
        "background_color": PAPER,
        "theme_color": PAPER,
        "icons": [
            {
                "src": static(f"icons/{name}"),
                "sizes": f"{size}x{size}",
                "type": "image/png",
                "purpose": purpose,
            }
            for name, size, purpose in icons
        ],
    }
