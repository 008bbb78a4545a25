from django.apps import AppConfig


class LibraryConfig(AppConfig):
    """Exercises, muscle shares and progression ladders."""

    name = "coaching.library"
    label = "library"
    verbose_name = "Exercise library"
