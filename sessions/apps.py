from django.apps import AppConfig


class SessionsConfig(AppConfig):
    """What was done, and the weekly review of it.

    Django's own app of signed-in sessions already has the label ``sessions``,
    so tables, foreign keys and migration commands say ``client_sessions``.
    """

    name = "sessions"
    label = "client_sessions"
    verbose_name = "Client sessions"
