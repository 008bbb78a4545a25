"""A decision stays undoable after something else of the block was changed, and says when it is not."""

import pytest

from coaching.blocks.models import Prescription
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.snapshots import lines_of
from sessions.errors import ReviewError
from sessions.models import Decision
from sessions.pages_decisions import decision_lines, open_versions
from sessions.review_services import accept_proposals, undo_decision
from sessions.week_reading import read_weeks
from tests.factories.edits import change_prescription
from tests.sessions.reviewing import panel_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def made(trained, ana, last_week, today, now):
    reading = read_weeks([trained], last_week, today)[0]
    up = next(one for one in reading.proposals if one.changes_plan)
    return accept_proposals(reading=reading, proposals=[up], today=today, by=ana)


def later(block, today, *, of):
    """A line to come, of the exercise that was decided about or of another one."""
    rows = Prescription.objects.filter(
        pair__planned_session__week__block=block,
        pair__planned_session__on__gt=today,
        pair__planned_session__week__kind="build",
    ).select_related("pair__planned_session__week__block", "exercise")
    return next(one for one in rows if (one.exercise_id == of.exercise_id) == of.same)


class Of:
    def __init__(self, decision, *, same):
        self.exercise_id, self.same = decision.exercise_id, same


def targets(block):
    return {
        line["uid"]: (line["targets"], line["rir"]) for _s, line in lines_of(snapshot_of(block))
    }


def test_undo_of_a_decision_leaves_a_later_change_of_another_line(made, ana, trained, today):
    block = made[0].version.block
    before = made[0].version.block.versions.order_by("number")[0].snapshot
    other = later(block, today, of=Of(made[0], same=False))
    change_prescription(prescription=other, fields={"rir": 4}, onward=False, today=today, by=ana)

    undo_decision(decision=made[0], today=today, by=ana)

    then = {line["uid"]: (line["targets"], line["rir"]) for _s, line in lines_of(before)}
    then[str(other.uid)] = (then[str(other.uid)][0], 4)
    assert targets(block) == then


def test_what_was_changed_again_says_why_it_cannot_be_undone(made, ana, trained, today):
    block = made[0].version.block
    same = later(block, today, of=Of(made[0], same=True))
    change_prescription(
        prescription=same,
        fields={"targets": [3] * len(same.targets)},
        onward=False,
        today=today,
        by=ana,
    )

    with pytest.raises(ReviewError, match="what it changed was changed again"):
        undo_decision(decision=made[0], today=today, by=ana)

    assert Decision.objects.get(pk=made[0].pk).undone_at is None


def test_the_way_back_stands_under_decided_after_a_later_change(
    made, coach, ana, trained, last_week, today
):
    other = later(made[0].version.block, today, of=Of(made[0], same=False))
    change_prescription(prescription=other, fields={"rir": 4}, onward=False, today=today, by=ana)

    assert [one.can_undo for one in panel_of(coach, trained, last_week).decisions] == [True]
    assert open_versions(made, today) == {made[0].version_id}
    assert decision_lines(made, frozenset())[0].can_undo is False
