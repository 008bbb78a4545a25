from django.apps import AppConfig


class BlocksConfig(AppConfig):
    """Programme blocks and what is prescribed in them."""

    name = "coaching.blocks"
    label = "blocks"
    verbose_name = "Programme blocks"
