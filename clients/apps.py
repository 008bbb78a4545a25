from django.apps import AppConfig


class ClientsConfig(AppConfig):
    """People, and who may see what."""

    name = "clients"
    verbose_name = "Clients"
