"""What the intake page needs: five sections that are saved one by one."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.forms import BoundField
from django.utils.safestring import SafeString

from clients import queries
from clients.forms.accounts import ClientAddressForm
from clients.forms.equipment import EquipmentForm
from clients.forms.limits import JointLimitForm
from clients.forms.person import PersonForm
from clients.forms.screening import ScreeningForm, field_name
from clients.load_words import say_loads
from clients.models import Client, JointLimit
from coaching.rules.care import SAME_DAY
from coaching.rules.joint_limits import CAUTION as JOINT_CAUTION
from coaching.rules.loads import EquipmentItem, loads_of
from coaching.rules.plan import EquipmentKind
from coaching.rules.screening import (
    EMERGENCY,
    NOTHING_ASKED_FOR,
    QUESTIONS,
    Caution,
    Topic,
    cautions,
    gate,
    still_open,
    stopping,
)


@dataclass(frozen=True)
class Step:
    """One section in the list beside the page: how it stands."""

    key: str
    title: str
    state: str
    is_done: bool


@dataclass(frozen=True)
class ScreeningSection:
    """The health screen with what its answers ask for."""

    form: ScreeningForm
    questions: tuple[BoundField, ...]
    cautions: tuple[Caution, ...]
    gate: str
    waits: bool
    young: tuple[Caution, ...]
    screened_on: date | None
    has_answers: bool
    cleared_on: date | None
    emergency: str
    same_day: str
    nothing: str


@dataclass(frozen=True)
class EquipmentRow:
    """One thing with its check box, its weights and the loads they make."""

    check: BoundField
    bar: BoundField | None
    pieces: BoundField | None
    makes: str
    lacks_weights: bool
    has_errors: bool


@dataclass(frozen=True)
class EquipmentSection:
    """What the client can train with: things without and with weights."""

    form: EquipmentForm
    plain: tuple[EquipmentRow, ...]
    weighted: tuple[EquipmentRow, ...]


@dataclass(frozen=True)
class LimitsSection:
    """The joint limits that hold, those that ended, and a form for one more."""

    form: JointLimitForm
    current: tuple[JointLimit, ...]
    ended: tuple[JointLimit, ...]
    caution: str


@dataclass(frozen=True)
class LinkShown:
    """A sign-in link in the one moment in which it can be read."""

    address: str
    qr: SafeString
    opens_here_only: bool


@dataclass(frozen=True)
class AccountSection:
    """How the client signs in."""

    form: ClientAddressForm
    has_account: bool
    email: str
    last_login: datetime | None
    link_until: datetime | None
    link: LinkShown | None
    state: str


@dataclass(frozen=True)
class IntakePage:
    """Everything a coach writes down before planning for a client."""

    client: Client
    person: PersonForm
    screening: ScreeningSection
    equipment: EquipmentSection
    limits: LimitsSection
    account: AccountSection
    steps: tuple[Step, ...]

    @property
    def may_plan(self) -> bool:
        """Whether the health screen stands in the way of nothing."""
        return all(step.is_done for step in self.steps if step.key == "screening")


def intake_page(
    client: Client, now: datetime, *, link: LinkShown | None = None, **forms: Any
) -> IntakePage:
    """The intake of a client; ``forms`` holds the one that was refused; 5 queries."""
    today = client.local_date(now)
    person = person_form(client, today)
    screening = _screening(client, forms.get("screening") or screening_form(client, today), today)
    owned = queries.equipment_of(client)
    equipment = _equipment(owned, forms.get("equipment") or EquipmentForm(owned=owned))
    limits = _limits(client, today, forms.get("limits") or JointLimitForm())
    account = _account(client, now, link, forms.get("account"))
    steps = (
        _person_step(client, person.initial["body_weight_kg"]),
        _screening_step(screening),
        Step("equipment", "Equipment", _count(len(owned), "thing", "nothing yet"), bool(owned)),
        Step("limits", "Joint limits", _count(len(limits.current), "limit", "none"), is_done=True),
        Step("account", "Account", account.state, account.last_login is not None),
    )
    return IntakePage(
        client, forms.get("person") or person, screening, equipment, limits, account, steps
    )


def person_form(client: Client, today: date, data: Any = None) -> PersonForm:
    """The form with what is known of the person."""
    fields = (name for name in PersonForm.base_fields if hasattr(client, name))
    initial = {name: getattr(client, name) for name in fields}
    weight = queries.body_weight_on(client, today)
    initial["body_weight_kg"] = None if weight is None else f"{weight:g}"
    return PersonForm(data, initial=initial, today=today)


def screening_form(client: Client, today: date, data: Any = None) -> ScreeningForm:
    """The form with the answers given before."""
    answers = queries.screening_answers(client)
    initial: dict[str, Any] = {
        field_name(topic): "yes" if yes else "no" for topic, yes in answers.items()
    }
    initial |= {"note": client.screening_note, "cleared_on": client.cleared_on}
    return ScreeningForm(data, initial=initial, today=today)


def _screening(client: Client, form: Any, today: date) -> ScreeningSection:
    answers = queries.screening_answers(client)
    age = {"born_in": client.born_in, "year": today.year}
    found = cautions(answers, **age)
    return ScreeningSection(
        form=form,
        questions=tuple(form[field_name(topic)] for topic in QUESTIONS),
        cautions=found,
        gate=gate(answers, **age).value,
        waits=bool(still_open(stopping(found), cleared=client.cleared_on is not None)),
        young=tuple(one for one in stopping(found) if one.topic is Topic.MINOR),
        screened_on=client.screened_on,
        has_answers=bool(answers),
        cleared_on=client.cleared_on,
        emergency=EMERGENCY,
        same_day=SAME_DAY,
        nothing=NOTHING_ASKED_FOR,
    )


def _equipment(owned: tuple[EquipmentItem, ...], form: Any) -> EquipmentSection:
    items = {item.kind: item for item in owned}
    rows = [(kind, _equipment_row(form, kind, items.get(kind))) for kind in EquipmentKind]
    return EquipmentSection(
        form=form,
        plain=tuple(row for _, row in rows if row.pieces is None),
        weighted=tuple(row for _, row in rows if row.pieces is not None),
    )


def _equipment_row(
    form: EquipmentForm, kind: EquipmentKind, item: EquipmentItem | None
) -> EquipmentRow:
    bar, pieces = form.weights(kind, "bar"), form.weights(kind, "pieces")
    loads = loads_of(item) if item and pieces else ()
    return EquipmentRow(
        check=form.check(kind),
        bar=bar,
        pieces=pieces,
        makes=say_loads(loads),
        has_errors=any(field is not None and field.errors for field in (bar, pieces)),
        lacks_weights=bool(item and pieces and not (item.pieces or item.ranges or item.bar)),
    )


def _limits(client: Client, today: date, form: Any) -> LimitsSection:
    rows = queries.joint_limit_rows(client)
    return LimitsSection(
        form=form,
        current=tuple(row for row in rows if row.until is None or row.until > today),
        ended=tuple(row for row in rows if row.until is not None and row.until <= today),
        caution=JOINT_CAUTION,
    )


def _account(client: Client, now: datetime, link: LinkShown | None, form: Any) -> AccountSection:
    user = client.user
    newest = queries.newest_link(user) if user else None
    until = newest.expires_at if newest and newest.expires_at > now else None
    email = user.email if user else ""
    state = "no account yet"
    if user and user.last_login:
        state = "has signed in"
    elif user:
        state = "link not used yet" if until else "needs a link"
    return AccountSection(
        form=form or ClientAddressForm(initial={"email": email}),
        has_account=user is not None,
        email=email,
        last_login=user.last_login if user else None,
        link_until=until,
        link=link,
        state=state,
    )


def _person_step(client: Client, weight: str | None) -> Step:
    known = [
        f"{weight} kg" if weight else "body weight open",
        f"{client.stature_cm} cm" if client.stature_cm else "stature open",
    ]
    return Step("person", "Person", ", ".join(known), bool(weight and client.stature_cm))


def _screening_step(section: ScreeningSection) -> Step:
    if section.screened_on is None:
        return Step("screening", "Health screen", "not asked yet", is_done=False)
    if section.waits:
        others = [one for one in section.cautions if one not in section.young]
        only_young = section.young and (section.cleared_on or not stopping(others))
        what = "waits for a guardian’s consent" if only_young else "waits for clearance"
        return Step("screening", "Health screen", what, is_done=False)
    asked = f"asked {section.screened_on.day} {section.screened_on:%b %Y}"
    return Step("screening", "Health screen", asked, is_done=True)


def _count(number: int, thing: str, none: str) -> str:
    if number == 0:
        return none
    return f"1 {thing}" if number == 1 else f"{number} {thing}s"
