"""Queries that are written once: what they answer is what the ORM answers, each time anew."""

from threading import Thread

import pytest
from django.db import DEFAULT_DB_ALIAS, connections

from clients.kept_query import KeptQuery, next_in
from clients.models import Client

pytestmark = pytest.mark.django_db


def clients_between(low, high):
    return Client.objects.filter(pk__gte=low, pk__lte=high).order_by("pk")


def read(query, *numbers):
    return [next_in(iter(row), Client) for row in query.rows(*numbers)]


def test_it_answers_as_the_orm_does_for_other_numbers_too(cleo, drew):
    query = KeptQuery(clients_between)

    for low, high in ((cleo.pk, drew.pk), (cleo.pk, cleo.pk), (drew.pk, drew.pk), (0, 0)):
        found, expected = read(query, low, high), list(clients_between(low, high))
        assert [vars(one) for one in found] == [
            {**vars(one), "_state": mine._state} for one, mine in zip(expected, found, strict=True)
        ]


def test_the_database_is_asked_every_time(cleo, django_assert_num_queries):
    query = KeptQuery(clients_between)
    read(query, cleo.pk, cleo.pk)

    Client.objects.filter(pk=cleo.pk).update(name="Cleo Marsh")

    with django_assert_num_queries(1):
        (found,) = read(query, cleo.pk, cleo.pk)
    assert found.name == "Cleo Marsh"


def test_it_is_written_once_for_each_count_of_numbers(cleo, drew):
    written = []

    def of_those(*ids):
        written.append(len(ids))
        return Client.objects.filter(pk__in=ids).order_by("pk")

    query = KeptQuery(of_those)

    assert read(query, drew.pk, cleo.pk) == sorted([cleo, drew], key=lambda one: one.pk)
    assert read(query, drew.pk) == [drew]
    assert read(query, cleo.pk) == [cleo]
    assert written == [2, 1]


def test_a_number_that_no_column_holds_finds_nothing(cleo):
    assert read(KeptQuery(clients_between), 2**64, 2**64) == []


def test_what_is_found_can_be_saved(cleo):
    (found,) = read(KeptQuery(clients_between), cleo.pk, cleo.pk)
    found.name = "Cleo Marsh"

    found.save()

    assert Client.objects.get(pk=cleo.pk).name == "Cleo Marsh"


def test_each_thread_asks_over_its_own_connection():
    query, used = KeptQuery(clients_between), []

    def ask():
        used.append(query._written(2).compiler.connection is connections[DEFAULT_DB_ALIAS])

    query._written(2)
    thread = Thread(target=ask)
    thread.start()
    thread.join()

    assert used == [True]
