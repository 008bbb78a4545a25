"""What may stand in the place of an exercise: ranked, with the reason and what it would do."""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from datetime import date

from django.urls import reverse

from clients.queries import equipment_of
from coaching.blocks.block_effects import told_alone
from coaching.blocks.block_facts import BlockFacts
from coaching.blocks.editing.acts import EditSetting, apply_act
from coaching.blocks.editing.places import Edited, days_of
from coaching.blocks.editing.values import Reach
from coaching.blocks.effects import WeekEffects, edit_sentence
from coaching.blocks.errors import BlockError
from coaching.blocks.forms import KeepForm
from coaching.blocks.from_template import candidates_for, known_of
from coaching.blocks.logged_pain import hurts_of, pain_words, reach_of
from coaching.blocks.pages_limits import Swap, avoided_later, swap_of
from coaching.blocks.pages_panel_line import Found, found_line, urls_of
from coaching.blocks.pages_panels import SwapChoice, SwapPanel
from coaching.blocks.plan_figures import plan_figures
from coaching.blocks.snapshots import Snapshot
from coaching.blocks.words import targets_text
from coaching.library.models import Exercise
from coaching.library.queries import exercise_value, exercises_by_key
from coaching.rules import plan
from coaching.rules.findings import listed
from coaching.rules.joint_limits import JointLimit, LimitAction, offered, regressed_by
from coaching.rules.loads import EquipmentItem, available_loads, can_do
from coaching.rules.next_block_case import LastBlock, Other
from coaching.rules.next_block_likeness import compared, ranked
from coaching.rules.pain_reach import Hurt
from coaching.rules.stand_in import Known, left_out, stand_ins
from coaching.rules.swapped_targets import swapped_targets

MOST_SWAPS = 8
MOST_LEFT_OUT = 4


def swap_panel(
    facts: BlockFacts, uid: str, shown: int, *, override: KeepForm | None = None, error: str = ""
) -> SwapPanel:
    """What may stand in, best first, only what equipment and joints allow; 4 queries."""
    found = found_line(facts, uid)
    rows = exercises_by_key(facts.coach)
    equipment = equipment_of(facts.client)
    on = max(facts.today, date.fromisoformat(found.session["on"]))
    asked = facts.exercises[found.line["exercise"]]
    case = _case(found, asked, rows, known_of(facts.client, rows.values()))
    hurts = hurts_of(facts.client, facts.today, facts.exercises)
    swaps = _spared(_swaps(facts, case, rows, equipment, on), hurts, rows)
    effects = _Effects(facts, found, rows, equipment)
    told = [effects.of(one) for one in swaps]
    usual, times = Counter(told).most_common(1)[0] if told else ("", 0)
    usual = usual if times > 1 else ""
    days = days_of(facts.draft.snapshot, uid, Reach.ONWARD)
    limits = dict.fromkeys(one for day in (on, *days) for one in facts.joints.on(day))
    return SwapPanel(
        template="blocks/block/_panel_swap.html",
        place=uid,
        **urls_of(facts, shown),
        kind="swap",
        error=error,
        line=uid,
        name=found.line["name"],
        week=found.number,
        session=found.session["name"],
        swaps=[
            _choice(case, _told_later(one, facts, rows, on, days), rows, _apart(effect, usual))
            for one, effect in zip(swaps, told, strict=True)
        ],
        usual_effect=usual,
        left_out=_left_out(facts, asked, rows, equipment, limits),
        hurt=_hurt_words(hurts, [asked, *_values_of(swaps, rows)]),
        avoids=tuple(str(one) for one in limits if one.action is LimitAction.AVOID),
        override_url=reverse("blocks:override-line", args=[facts.block.pk, uid]),
        override=override or KeepForm(auto_id="override_%s"),
        override_error=override is not None,
    )


def _case(found: Found, asked: plan.Exercise, rows: dict[str, Exercise], known: Known) -> LastBlock:
    """The line as the next block looks at it, so that both name the same first."""
    line = found.line
    prescription = plan.Prescription(
        key=line["uid"],
        exercise=asked,
        targets=tuple(line["targets"]),
        load=line["load_kg"],
        tempo=plan.Tempo.parse(line["tempo"]),
        rest=line["rest_s"],
        part=plan.Part(found.pair["part"]),
        rir=line["rir"],
    )
    values = (exercise_value(row) for row in rows.values())
    others = tuple(_other(asked, one, rows) for one in values)
    return LastBlock(asked=prescription, others=others, known=known)


def _other(asked: plan.Exercise, given: plan.Exercise, rows: dict[str, Exercise]) -> Other:
    """Another exercise with the load that it is put in with: none."""
    row = rows[given.key]
    return Other(
        exercise=given,
        reason="",
        load=0.0,
        tempo=plan.Tempo.parse(row.tempo),
        levels_apart=abs(_levels_up(asked, given, rows)),
    )


def _told_later(
    swap: Swap, facts: BlockFacts, rows: dict[str, Exercise], on: date, days: Sequence[date]
) -> Swap:
    """A swap that says where a later limit forbids it: from this week on it would be refused."""
    given = next(exercise_value(row) for row in rows.values() if row.pk == swap.pk)
    also = avoided_later(given, facts.joints, on, days)
    return replace(swap, reason=f"{swap.reason}; {also}") if also else swap


def _apart(effect: str, usual: str) -> str:
    return "" if effect == usual else effect


def _choice(case: LastBlock, swap: Swap, rows: dict[str, Exercise], effect: str) -> SwapChoice:
    given = next(row for row in rows.values() if row.pk == swap.pk)
    other = _other(case.exercise, exercise_value(given), rows)
    asked, to = case.asked, other.exercise
    targets = swapped_targets(asked.targets, asked.exercise, to, asked.part)
    return SwapChoice(
        swap.pk,
        swap.name,
        swap.word,
        swap.reason,
        effect,
        hard=compared(case, other, _levels_up(asked.exercise, to, rows)),
        load=_LOADS[to.load_kind],
        targets=targets_text(targets, to),
    )


def _levels_up(asked: plan.Exercise, given: plan.Exercise, rows: dict[str, Exercise]) -> int:
    """How many levels of client another exercise is beyond one."""
    to, own = rows[given.key], rows.get(asked.key)
    return _LEVELS.index(to.level) - _LEVELS.index(own.level if own else to.level)


_LEVELS = [level.value for level in plan.Level]
_LOADS = {
    plan.LoadKind.NONE: "body weight",
    plan.LoadKind.ADDED: "body weight, no load carried",
    plan.LoadKind.EXTERNAL: "load to choose",
    plan.LoadKind.ASSISTED: "begins with the most help",
}


def _swaps(
    facts: BlockFacts,
    case: LastBlock,
    rows: dict[str, Exercise],
    equipment: Sequence[EquipmentItem],
    on: date,
) -> tuple[Swap, ...]:
    """The rung above, then the replacements; no query.

    For an exercise that loads what must be regressed or avoided, or whose equipment is missing,
    the rung above comes last, and so does one that loads what must be regressed.
    """
    joints = facts.joints
    kinds = frozenset(item.kind for item in equipment)
    limits, overrides = joints.on(on), joints.overrides
    suitable = candidates_for(facts.client, rows.values())
    asked = case.exercise
    found = stand_ins(asked, suitable, limits, kinds, overrides, case.known)
    harder = tuple(
        one
        for one in offered(suitable, limits, kinds, overrides)
        if one.ladder and one.ladder == asked.ladder and one.rung == asked.rung + 1
    )
    back = any(regressed_by(one, limits) for one in (asked, *harder))
    back = back or bool(joints.blocking(asked, on)) or not can_do(asked, kinds)
    if back:
        ordered = (*found[:MOST_SWAPS], *harder)
    else:
        place = {one.exercise.key: at for at, one in enumerate(ranked(case))}
        alike = sorted(found, key=lambda one: place[one.key])
        ordered = (*harder, *alike[:MOST_SWAPS])
    return tuple(swap_of(asked, one, rows, limits, overrides) for one in dict.fromkeys(ordered))


def _spared(
    swaps: Sequence[Swap], hurts: Sequence[Hurt], rows: Mapping[str, Exercise]
) -> tuple[Swap, ...]:
    """What loads a joint that hurt says so and comes last, the most alike at the very end."""
    values = _values_of(swaps, rows)
    told = [(one, *reach_of(value, hurts)) for one, value in zip(swaps, values, strict=True)]
    told.sort(key=lambda each: each[1])
    return tuple(
        replace(one, reason=f"{one.reason}; {words}") if words else one for one, _, words in told
    )


def _values_of(swaps: Sequence[Swap], rows: Mapping[str, Exercise]) -> list[plan.Exercise]:
    by_row = {row.pk: row for row in rows.values()}
    return [exercise_value(by_row[one.pk]) for one in swaps]


def _hurt_words(hurts: Sequence[Hurt], told_of: Sequence[plan.Exercise]) -> str:
    """What hurt of all that reaches the exercise or one in its place."""
    reached = (one for one in hurts if any(reach_of(value, [one])[1] for value in told_of))
    return "; ".join(pain_words(one) for one in reached)


def _left_out(
    facts: BlockFacts,
    asked: plan.Exercise,
    rows: dict[str, Exercise],
    equipment: Sequence[EquipmentItem],
    limits: Collection[JointLimit],
) -> str:
    """What is not offered though it trains the same, and what it is; no query."""
    kinds = frozenset(item.kind for item in equipment)
    suitable = candidates_for(facts.client, rows.values())
    found = left_out(asked, suitable, tuple(limits), kinds, facts.joints.overrides)
    named = [f"{one.name} ({word})" for one, word in found[:MOST_LEFT_OUT]]
    more = len(found) - len(named)
    return listed([*named, *([f"{more} more"] if more else [])])


class _Effects:
    """What each swap would do to the week, in words; no query."""

    def __init__(
        self,
        facts: BlockFacts,
        found: Found,
        rows: dict[str, Exercise],
        equipment: Sequence[EquipmentItem],
    ) -> None:
        self.facts, self.found, self.equipment = facts, found, equipment
        self.rows = {row.pk: row for row in rows.values()}
        self.before = self._week(facts.draft.snapshot, facts.exercises)

    def of(self, swap: Swap) -> str:
        """Chest +1, triceps +0.5 sets ...; the reason when it cannot be put in."""
        row = self.rows[swap.pk]
        value = exercise_value(row)
        exercises = {**self.facts.exercises, swap.pk: value}
        setting = EditSetting(
            today=self.facts.today,
            begun=self.facts.draft.begun,
            exercises=exercises,
            loads={swap.pk: available_loads(value, self.equipment)},
            tempos={swap.pk: row.tempo},
            is_seen=self.facts.is_seen,
        )
        raw = {"act": "swap-line", "line": self.found.line["uid"], "exercise": str(swap.pk)}
        try:
            edited = apply_act(self.facts.draft.snapshot, raw, setting)
        except BlockError as error:
            return str(error)
        return self._said(edited, exercises)

    def _said(self, edited: Edited, exercises: Mapping[int, plan.Exercise]) -> str:
        after = self._week(edited.snapshot, exercises)
        same = edit_sentence(self.before, self.before)
        said = edit_sentence(self.before, after)
        return "" if said == same else said

    def _week(self, snapshot: Snapshot, exercises: Mapping[int, plan.Exercise]) -> WeekEffects:
        figures = plan_figures(snapshot, exercises)
        return told_alone(figures[self.found.number - 1], self.facts.known)
