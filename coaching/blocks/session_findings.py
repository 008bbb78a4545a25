"""What is found in one session, looked for once for each thing that it depends on.

An edit changes a session or two of a block: what was found in the others stands. It is kept with
the figures of the session, and goes with them.
"""

from coaching.blocks.plan_figures import SessionFigures
from coaching.rules import joint_limits, rep_range
from coaching.rules.findings import Finding
from coaching.rules.joint_limits import JointLimit, LimitOverride
from coaching.rules.load_to_choose import load_finding
from coaching.rules.plan import Level
from coaching.rules.session_clock import length_finding


def joints_in(
    one: SessionFigures, limits: tuple[JointLimit, ...], overrides: tuple[LimitOverride, ...]
) -> tuple[Finding, ...]:
    """What loads a joint limit."""
    if not limits:
        return ()
    return one.found.of(
        ("joints", limits, overrides),
        lambda: tuple(joint_limits.findings_for(one.session, limits, overrides)),
    )


def open_loads_in(one: SessionFigures) -> tuple[Finding, ...]:
    """Which loads are still to be chosen."""
    return one.found.of("open loads", lambda: _as_one(load_finding(one.session)))


def length_in(one: SessionFigures, minutes: int) -> tuple[Finding, ...]:
    """Whether it takes longer than the client has [min]."""
    return one.found.of(
        ("length", minutes), lambda: _as_one(length_finding(one.session, one.minutes, minutes))
    )


def repetitions_in(one: SessionFigures, level: Level) -> tuple[Finding, ...]:
    """Which repetitions are far from the usual ones."""
    return one.found.of(("repetitions", level), lambda: rep_range.findings_for(one.session, level))


def _as_one(finding: Finding | None) -> tuple[Finding, ...]:
    return (finding,) if finding else ()
