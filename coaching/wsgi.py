"""The way in for a web server such as waitress: ``coaching.wsgi:application``."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.settings")

application = get_wsgi_application()
