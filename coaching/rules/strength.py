"""From repetitions to the one-repetition maximum (1RM) and back.

Loads are **system loads** [kg], what the muscles really move: body weight counts in a
pull-up. On added load alone every formula is wrong.

Seven published formulas say by what factor the 1RM is above a load that was lifted
``r`` times to failure. None of them is best for everybody, so the estimate is their
median, and the band around it runs from the lowest to the highest. They were made
for 1 to 10 repetitions, up to 15 they are a guess, and above 15 there is no answer.

**Reserve.** Clients have more in reserve than they say: 0.95 repetitions on average, with a
confidence interval from 0.17 to 1.73 and very different studies. The estimate is *not*
shifted by it, because that would be too exact for any one client and would cancel
in every comparison of a client with themselves; the band is widened by it both ways. So
an estimate from a set with reserve is more often a little too low than too high.

Caution: after *adding* load to a bodyweight exercise repetitions fall faster than any
formula says. In pull-ups 10 % more total mass cost about half of them (Vanderburgh and
Edmonds 1997), so treat a number of repetitions predicted that way as the most possible.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import exp, inf, isfinite, log
from statistics import median

from coaching.rules.findings import NoAnswer
from coaching.rules.numbers import (
    ONE_RM_DECAYS,
    ONE_RM_FORMULA_REPS,
    ONE_RM_HYPERBOLAS,
    ONE_RM_LAST_REPS,
    ONE_RM_LINES,
    ONE_RM_POWERS,
    ONE_RM_SURE_REPS,
    RESERVE_ERROR,
    RESERVE_ERROR_LONG_SET,
    RESERVE_SHORT_SET,
)


class Formula(StrEnum):
    """The published formulas, by the source that holds each."""

    EPLEY = "epley-1985"
    BRZYCKI = "brzycki-1993"
    LANDER = "lander-1985"
    LOMBARDI = "lombardi-1989"
    MAYHEW = "mayhew-1992"
    OCONNER = "oconner-1989"
    WATHAN = "wathan-1994"


class Confidence(StrEnum):
    """How far an estimate can be trusted."""

    USUAL = "usual"
    LOW = "low"
    AT_LEAST = "at least"


@dataclass(frozen=True, slots=True)
class Estimate:
    """An estimated value with its band, in the unit of what was asked for.

    ``high`` is none when the set shows only the least that the client can do.
    """

    value: float
    low: float
    high: float | None
    confidence: Confidence


@dataclass(frozen=True, slots=True)
class _Line:
    """The factor rises by the same amount with each repetition, by 1 in ``n`` of them."""

    n: float

    def factor(self, reps: float) -> float:
        return 1 + reps / self.n

    def reps(self, factor: float) -> float:
        return (factor - 1) * self.n


@dataclass(frozen=True, slots=True)
class _Hyperbola:
    """The load falls by the same amount with each repetition."""

    full: float
    per_rep: float

    def factor(self, reps: float) -> float:
        return 100 / (self.full - self.per_rep * reps)

    def reps(self, factor: float) -> float:
        return (self.full - 100 / factor) / self.per_rep


@dataclass(frozen=True, slots=True)
class _Power:
    """The factor is a power of the repetitions."""

    exponent: float

    def factor(self, reps: float) -> float:
        return float(reps**self.exponent)

    def reps(self, factor: float) -> float:
        return float(factor ** (1 / self.exponent))


@dataclass(frozen=True, slots=True)
class _Decay:
    """The load falls towards a floor [% of 1RM] that it never reaches."""

    floor: float
    span: float
    rate: float

    def factor(self, reps: float) -> float:
        return 100 / (self.floor + self.span * exp(-self.rate * reps))

    def reps(self, factor: float) -> float:
        above = (100 / factor - self.floor) / self.span
        return -log(above) / self.rate if above > 0 else inf


_CURVES: dict[Formula, _Line | _Hyperbola | _Power | _Decay] = {
    Formula.EPLEY: _Line(*ONE_RM_LINES.rows["Epley"]),
    Formula.BRZYCKI: _Hyperbola(*ONE_RM_HYPERBOLAS.rows["Brzycki"]),
    Formula.LANDER: _Hyperbola(*ONE_RM_HYPERBOLAS.rows["Lander"]),
    Formula.LOMBARDI: _Power(*ONE_RM_POWERS.rows["Lombardi"]),
    Formula.MAYHEW: _Decay(*ONE_RM_DECAYS.rows["Mayhew"]),
    Formula.OCONNER: _Line(*ONE_RM_LINES.rows["O'Conner"]),
    Formula.WATHAN: _Decay(*ONE_RM_DECAYS.rows["Wathan"]),
}


def published_factor(formula: Formula, reps: float) -> float:
    """The factor from load to 1RM exactly as printed, also where it is odd at 1.

    Args:
        formula: One of the seven.
        reps: Repetitions to failure, 1 to 36.

    Raises:
        ValueError: Outside 1 to 36, where some of the formulas have no value.
    """
    most = ONE_RM_FORMULA_REPS.value
    if not 1 <= reps <= most:
        message = f"No formula holds for {reps} repetitions; give 1 to {most:g}."
        raise ValueError(message)
    return _CURVES[formula].factor(reps)


def published_reps(formula: Formula, factor: float) -> float:
    """Repetitions to failure that belong to a factor: ``published_factor`` turned around.

    Mayhew and Wathan approach a ceiling; at or above it the answer is infinite.
    """
    return _CURVES[formula].reps(factor)


def one_rm_factor(formula: Formula, reps: float) -> float:
    """The factor from load to 1RM, made right at one repetition.

    One repetition to failure *is* the maximum, though four of the seven say otherwise.
    Between one and two the factor runs straight.
    """
    if reps >= 2:
        return published_factor(formula, reps)
    if reps < 1:
        message = f"{reps} repetitions show no strength; give 1 or more."
        raise ValueError(message)
    return 1 + (reps - 1) * (published_factor(formula, 2) - 1)


def reps_for_factor(formula: Formula, factor: float) -> float:
    """Repetitions to failure that belong to a factor of 1 or more."""
    if factor < 1:
        message = f"A factor of {factor} is a load above the maximum; give 1 or more."
        raise ValueError(message)
    at_two = published_factor(formula, 2)
    if factor < at_two:
        return 1 + (factor - 1) / (at_two - 1)
    return published_reps(formula, factor)


def estimate_one_rm(
    system_load: float,
    reps: int,
    rir: float | None,
    *,
    span: tuple[float, float] | None = None,
) -> Estimate | NoAnswer:
    """The 1RM [kg] that a set shows, with a band.

    Clients say about one repetition in reserve too few on average (Halperin 2022), so the
    value from a set with reserve leans low; its band allows for that.

    Args:
        system_load: What the muscles moved [kg].
        reps: Full repetitions done.
        rir: Repetitions left in reserve, 0 at failure; none when not known, and then
            the set shows only what the client can do at the least.
        span: Least and most that the muscles moved [kg] where the load is no one number, as
            with an elastic band or an estimated share of body weight; widens the answer's band.

    Returns:
        The estimate, on system load; or no answer above 15 repetitions to failure.
    """
    least, most = span or (system_load, system_load)
    reason = _no_strength(least, reps, rir)
    if reason:
        return NoAnswer(reason)
    if not (isfinite(most) and least <= system_load <= most):
        message = f"{system_load} kg is not between {least} and {most} kg."
        raise ValueError(message)
    to_failure = reps + (rir or 0)
    value = system_load * _median_factor(to_failure)
    if rir is None:
        return Estimate(value, least * min(_factors(reps)), None, Confidence.AT_LEAST)
    low, high = _band(reps, to_failure)
    sure = to_failure <= ONE_RM_SURE_REPS.value
    return Estimate(
        value,
        least * low,
        most * high,
        Confidence.USUAL if sure else Confidence.LOW,
    )


def _no_strength(least: float, reps: int, rir: float | None) -> str:
    """Why a set shows no strength; empty when it does."""
    if not (isfinite(least) and least > 0):
        return "The system load is not above 0 kg, so the set shows no strength."
    if reps < 1:
        return "No full repetition was done, so the load is above the maximum."
    if rir is not None and rir < 0:
        return "Reserve is below 0 repetitions; correct the set."
    to_failure = reps + (rir or 0)
    if to_failure > ONE_RM_LAST_REPS.value:
        return (
            f"{to_failure:g} repetitions to failure are more than {ONE_RM_LAST_REPS.value:g}: "
            "strength cannot be told from a set that long."
        )
    return ""


def load_for_reps(one_rm: float, reps: float) -> Estimate | NoAnswer:
    """The system load [kg] that goes for so many repetitions to failure.

    For repetitions in reserve add them to ``reps``. Added load is this less what
    the exercise moves of the body.

    Args:
        one_rm: One-repetition maximum on system load [kg].
        reps: Repetitions to failure, 1 to 15.
    """
    if not (isfinite(one_rm) and one_rm > 0):
        return NoAnswer("The maximum is not above 0 kg.")
    if not 1 <= reps <= ONE_RM_LAST_REPS.value:
        return NoAnswer(
            f"A load can be told for 1 to {ONE_RM_LAST_REPS.value:g} repetitions, not {reps:g}."
        )
    factors = _factors(reps)
    return Estimate(
        one_rm / median(factors),
        one_rm / max(factors),
        one_rm / min(factors),
        Confidence.USUAL if reps <= ONE_RM_SURE_REPS.value else Confidence.LOW,
    )


def reps_at_load(one_rm: float, system_load: float) -> Estimate | NoAnswer:
    """How many repetitions to failure go with a system load [kg], not rounded.

    Not for load newly added to a bodyweight exercise: see the caution above.

    Args:
        one_rm: One-repetition maximum on system load [kg].
        system_load: What the muscles will move [kg].
    """
    if not (isfinite(one_rm) and isfinite(system_load) and min(one_rm, system_load) > 0):
        return NoAnswer("Maximum and system load must be above 0 kg.")
    if system_load > one_rm:
        return NoAnswer("The load is above the estimated maximum.")
    found = [reps_for_factor(formula, one_rm / system_load) for formula in Formula]
    value = median(found)
    if value > ONE_RM_LAST_REPS.value:
        return NoAnswer(
            f"The load is so light that more than {ONE_RM_LAST_REPS.value:g} repetitions go; "
            "how many cannot be told from the maximum."
        )
    sure = value <= ONE_RM_SURE_REPS.value
    high = max(found)
    return Estimate(
        value,
        min(found),
        high if isfinite(high) else None,
        Confidence.USUAL if sure else Confidence.LOW,
    )


def _factors(reps: float) -> list[float]:
    return [one_rm_factor(formula, reps) for formula in Formula]


def _median_factor(reps: float) -> float:
    return median(_factors(reps))


def _band(reps: int, to_failure: float) -> tuple[float, float]:
    """Lowest and highest factor when the reserve is off by its usual error."""
    short = to_failure <= RESERVE_SHORT_SET.value
    error = (RESERVE_ERROR if short else RESERVE_ERROR_LONG_SET).value
    # The repetitions that were done are certain; only the reserve may be less than said.
    least = max(float(reps), to_failure - error)
    return min(_factors(least)), max(_factors(to_failure + error))
