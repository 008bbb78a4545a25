"""People for tests; a test states only what it is about."""

from factory.declarations import Sequence, SubFactory
from factory.django import DjangoModelFactory

from clients.models import Client, Role, User


class CoachFactory(DjangoModelFactory[User]):
    class Meta:
        model = User

    email = Sequence(lambda n: f"coach{n}@practice.example")
    name = Sequence(lambda n: f"Coach {n}")
    role = Role.COACH


class ClientUserFactory(CoachFactory):
    email = Sequence(lambda n: f"client{n}@home.example")
    name = Sequence(lambda n: f"Client {n}")
    role = Role.CLIENT


class ClientFactory(DjangoModelFactory[Client]):
    class Meta:
        model = Client

    coach = SubFactory(CoachFactory)
    user = SubFactory(ClientUserFactory)
    name = Sequence(lambda n: f"Client {n}")
    time_zone = "Europe/Lisbon"
    level = "intermediate"
    minutes = 75
