"""Writes of accounts: the first coach, passwords, and failed tries to sign in."""

import hashlib
from datetime import datetime, timedelta

from django.db import transaction

from clients.errors import AccountError
from clients.models import Client, FailedSignIn, User
from clients.services import create_coach
from coaching.rules.watchfulness import budgets

MOST_FAILURES = 5
FAILURES_COUNT_FOR = timedelta(minutes=15)


@transaction.atomic
def create_first_coach(*, email: str, name: str, password: str) -> User:
    """The account that opens the practice; raises AccountError when there is one already."""
    if User.objects.exists():
        message = "This practice already has an account; sign in instead."
        raise AccountError(message)
    return create_coach(email=email, name=name, password=password)


@transaction.atomic
def update_account(*, user: User, name: str, email: str) -> User:
    """Change the name and the address one signs in with; raises AccountError if it is taken."""
    refuse_taken_address(email, but=user)
    user.name = name
    user.email = email.lower()
    user.save(update_fields=["name", "email"])
    return user


@transaction.atomic
def change_password(*, user: User, password: str) -> User:
    """A new password; the old one stops working everywhere."""
    user.set_password(password)
    user.save(update_fields=["password"])
    return user


@transaction.atomic
def choose_watchfulness(*, coach: User, false_alarms_a_year: float) -> User:
    """How many false alarms of overreaching the coach puts up with, per client and year.

    Raises AccountError when that is none of the choices; the next review reads with it.
    """
    if false_alarms_a_year not in budgets():
        message = (
            f"False alarms: {false_alarms_a_year:g} a year is no choice; take one of the list."
        )
        raise AccountError(message)
    coach.false_alarms_a_year = false_alarms_a_year
    coach.save(update_fields=["false_alarms_a_year"])
    return coach


@transaction.atomic
def change_client_address(*, client: Client, email: str) -> User:
    """Another e-mail address for a client's account; raises AccountError if it cannot be."""
    if client.user is None:
        message = f"E-mail: {client.name} has no account yet; give one first."
        raise AccountError(message)
    return update_account(user=client.user, name=client.name, email=email)


def refuse_taken_address(email: str, *, but: User | None = None) -> None:
    """Raise AccountError when somebody else signs in with that address."""
    taken = User.objects.filter(email__iexact=email)
    if but is not None:
        taken = taken.exclude(pk=but.pk)
    if taken.exists():
        message = f"E-mail: {email} already has an account; use another address."
        raise AccountError(message)


def sign_in_key(email: str, address: str) -> str:
    """What is kept of who tried to sign in from where: enough to know it again."""
    return hashlib.sha256(f"{email.strip().lower()}\n{address}".encode()).hexdigest()


def is_locked_out(*, email: str, address: str, now: datetime) -> bool:
    """Whether too many tries failed lately for this e-mail from this place; 1 query."""
    failed = FailedSignIn.objects.filter(
        key_hash=sign_in_key(email, address), at__gt=now - FAILURES_COUNT_FOR
    )
    return failed.count() >= MOST_FAILURES


@transaction.atomic
def record_failed_sign_in(*, email: str, address: str, now: datetime) -> None:
    """Remember a failed try, and forget those that no longer count."""
    FailedSignIn.objects.filter(at__lte=now - FAILURES_COUNT_FOR).delete()
    FailedSignIn.objects.create(key_hash=sign_in_key(email, address), at=now)


@transaction.atomic
def forget_failed_sign_ins(*, email: str, address: str) -> None:
    """Start counting anew after somebody signed in."""
    FailedSignIn.objects.filter(key_hash=sign_in_key(email, address)).delete()
