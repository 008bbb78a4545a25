"""What was corrected, taken back, swapped and skipped, in words: only what says something.

That reps in reserve follow a set within minutes is how a set is logged, and is not told. Another
amount, load or exercise always is, and so is anything that was said half a day later.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from clients.models import Client
from clients.templatetags.in_words import day
from sessions.models import ChangeKind, Correction, LineChange, LoggedSession, LoggedSet
from sessions.queries_log_changes import LogChanges, planned_exercises
from sessions.set_words import amount_words, kilograms, load_words
from sessions.statements import line_statement, set_statement

AFTERWARDS = timedelta(hours=12)
"""What is said of a set later than this is no longer part of logging it."""


@dataclass(frozen=True)
class Told:
    """One thing that was said otherwise; ``exercise`` is whose sets it is about, 0 for none."""

    session: int
    on: date
    exercise: int
    about: str
    words: str

    def __str__(self) -> str:
        """Say it where no exercise stands beside it."""
        return f"{self.about}: {self.words}" if self.about else self.words


def told_changes(client: Client, found: LogChanges) -> tuple[Told, ...]:
    """Everything worth telling of some sessions of a client; no query."""
    sessions = {row.pk: row for row in found.sessions}
    teller = _Teller(client, found, sessions)
    told = [
        *(one for line in found.lines for one in teller.line(line)),
        *(one for row in found.sets for one in teller.of_set(row)),
        *(one for row in found.sessions for one in teller.session(row)),
    ]
    return tuple(sorted(told, key=lambda one: one.on))


@dataclass(frozen=True)
class _Teller:
    client: Client
    found: LogChanges
    sessions: Mapping[int, LoggedSession]

    def of_set(self, row: LoggedSet) -> list[Told]:
        """A set that was corrected or taken back, or of which two phones said different things."""
        said = self.found.corrections[row.uid]
        replaced = [one for one in said if not one.was_late]
        words = [self._set_words(row, replaced)] if replaced else []
        words += [self._late_words(row, one) for one in said if one.was_late]
        session = self.sessions[row.logged_session_id]
        about = f"{row.exercise.name}, set {row.number}"
        return [
            Told(session.pk, session.on, row.exercise_id, about, told) for told in words if told
        ]

    def _set_words(self, row: LoggedSet, replaced: Sequence[Correction]) -> str:
        before, last = replaced[0].values, replaced[-1]
        session = self.sessions[row.logged_session_id]
        if row.removed_at is not None:
            return "" if before["removed"] else f"taken back {self._when(last, session)}"
        was = self._was(before, row)
        later = next((one for one in replaced if one.at - row.done_at > AFTERWARDS), None)
        if later is not None:
            was += _other_fields(later.values, set_statement(row))
        if not was:
            return ""
        return f"{_done(row)} ({', '.join(was)}, corrected {self._when(last, session)})"

    def _was(self, before: Mapping[str, Any], row: LoggedSet) -> list[str]:
        """What another amount, load or exercise was before; nothing when all are the same."""
        now = set_statement(row)
        was = []
        if before["removed"]:
            was.append("was taken back")
        load = load_words(before["load"], row.exercise.load_kind) or "no load"
        has_other_load = before["load"] != now["load"]
        if before["exercise"] != now["exercise"]:
            # What the load of another exercise means is not known here: added, or help.
            load = f" with {kilograms(before['load'])}" if before["load"] else ""
            name = self.found.names.get(before["exercise"], "another exercise")
            was.append(f"was {name}{load}")
            has_other_load = False
        if before["amount"] != now["amount"]:
            was.append(f"was {before['amount']}" + (f" at {load}" if has_other_load else ""))
        elif has_other_load:
            was.append(f"was {load}")
        return was

    def _late_words(self, row: LoggedSet, late: Correction) -> str:
        was = [] if row.removed_at else self._was(late.values, row)
        when = self._when(late, self.sessions[row.logged_session_id])
        if not was:
            return ""
        said = ", ".join(one.removeprefix("was ") for one in was)
        return f"{_done(row)} (another phone said {said}, received {when})"

    def line(self, row: LineChange) -> list[Told]:
        """A planned exercise that was swapped or skipped."""
        session = self.sessions[row.logged_session_id]
        replaced = [one for one in self.found.corrections.get(row.uid, ()) if not one.was_late]
        planned = planned_exercises(session).get(str(row.prescription_uid), 0)
        name = self.found.names.get(planned, "an exercise")
        words = f"Skipped {name}: {row.reason}"
        if row.exercise is not None:
            words = f"Swapped {name} for {row.exercise.name}: {row.reason}"
        if row.removed_at is not None:
            if not replaced:
                return []
            words += f"; taken back {self._when(replaced[-1], session)}"
        elif replaced:
            words += self._line_was(row, replaced)
        return [Told(session.pk, session.on, 0, "", words + self._limit_words(row))]

    def _line_was(self, row: LineChange, replaced: Sequence[Correction]) -> str:
        before, now = replaced[0].values, line_statement(row)
        if before["change"] != now["change"]:
            was = "was skipped" if before["change"] == ChangeKind.SKIP else "was swapped"
        elif before["exercise"] != now["exercise"]:
            was = f"was {self.found.names.get(before['exercise'], 'another exercise')}"
        else:
            return ""
        when = self._when(replaced[-1], self.sessions[row.logged_session_id])
        return f" ({was}, corrected {when})"

    def _limit_words(self, row: LineChange) -> str:
        limits = () if row.removed_at else self.found.blocking.get(row.pk, ())
        if not limits:
            return ""
        first_name = self.client.name.partition(" ")[0]
        return f". {first_name} avoids this: {', '.join(str(one) for one in limits)}"

    def session(self, row: LoggedSession) -> list[Told]:
        """Effort or a word that was changed after the session."""
        said = [one for one in self.found.corrections.get(row.uid, ()) if not one.was_late]
        words = []
        rated = next((one for one in said if one.values["rpe"] is not None), None)
        if rated is not None and row.rpe is not None and rated.values["rpe"] != float(row.rpe):
            was = f"was {rated.values['rpe']:g}, corrected {self._when(said[-1], row)}"
            words.append(f"Effort {float(row.rpe):g} of 10 ({was})")
        end = row.finished_at or row.started_at
        later = next((one for one in said if one.at - end > AFTERWARDS), None)
        if later is not None and later.values["note"] != row.note:
            words.append(f"Word to the coach changed {self._when(later, row)}")
        return [Told(row.pk, row.on, 0, "", told) for told in words]

    def _when(self, said: Correction, session: LoggedSession) -> str:
        """When something was said, by the client's clock, and by whom when it was somebody else."""
        at = said.at.astimezone(ZoneInfo(self.client.time_zone))
        is_near = abs((at.date() - session.on).days) < 7
        told = f"{at:%a}" if is_near else day(at.date())
        somebody = said.by is not None and said.by_id != self.client.user_id
        by = f" by {said.by.name}" if said.by is not None and somebody else ""
        return f"{told} {at:%H:%M}{by}"


def _done(row: LoggedSet) -> str:
    load = load_words(float(row.load_kg), row.exercise.load_kind)
    return amount_words(row.amount, row.exercise.measure) + (f" · {load}" if load else "")


def _other_fields(before: Mapping[str, Any], now: Mapping[str, Any]) -> list[str]:
    """What else was said of a set half a day later."""
    told = [
        f"{word} from {_or_none(before[field])} to {_or_none(now[field])}"
        for field, word in (("rir", "reserve"), ("pain", "pain"))
        if before[field] != now[field]
    ]
    if before["warm_up"] != now["warm_up"]:
        told.append("a warm-up set before" if before["warm_up"] else "no warm-up set before")
    if before["note"] != now["note"]:
        told.append("note changed")
    return told


def _or_none(value: int | None) -> str:
    return "none" if value is None else str(value)
