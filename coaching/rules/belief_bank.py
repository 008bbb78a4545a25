"""A bank of Gaussian beliefs about one hidden state, one for each hypothesis, taken on together.

Plain linear algebra without training in it. Every hypothesis has a mean of its own; they share one
covariance, because they differ only by known shifts of what is observed. A shared covariance
is exact as long as no hypothesis doubts a measurement more than the first one does, and keeps
the cost of a hundred hypotheses near that of one. The first hypothesis is the plain one.

Source of filter and smoother: Durbin & Koopman, Time Series Analysis by State Space Methods
(2nd ed. 2012), ch. 4; a value that only bounds the state from below is taken by the moments of
the cut-off normal distribution.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import log, pi, sqrt

import numpy as np
from numpy.typing import NDArray

from coaching.rules.ability_numbers import DOUBT_LEAST, DOUBT_TIMES

Numbers = NDArray[np.float64]
_HALF_LOG_TAU = log(2 * pi) / 2
# So many standard deviations above a bound it says nothing that could be computed.
_FAR_ABOVE = 4.0
_LEAST_CUT = 1e-9
SUREST = 25.0
"""Log odds beyond which nothing is held to be more certain."""
# A hypothesis below this probability changes no picture.
_WEIGHTLESS = 1e-4


@dataclass(frozen=True, slots=True)
class Row:
    """How an observed value depends on the state: places in it and a factor for each."""

    places: tuple[int, ...]
    factors: Numbers


@dataclass(frozen=True, slots=True)
class Mostly:
    """What is believed of a row's states if none of some rare things happens, by hypothesis.

    ``off`` is how far the rare things are thought to go (hypotheses, rare), ``pull`` by how much
    each moves the row's states that far (rare, states of the row), ``variance`` and ``odds`` how
    far an ordinary one would lie off (rare,) and the log odds for it at no distance (rare,);
    ``cov`` is the covariance of the row's states if all are ordinary.
    """

    off: Numbers
    pull: Numbers
    variance: Numbers
    odds: Numbers
    cov: Numbers

    @property
    def chance(self) -> Numbers:
        """The probability that all are ordinary (hypotheses,)."""
        odds = self.odds - self.off**2 / (2 * self.variance)
        chance: Numbers = (1 / (1 + np.exp(-np.clip(odds, -SUREST, SUREST)))).prod(axis=1)
        return chance


@dataclass
class BeliefBank:
    """Means (hypotheses, states), covariance (states, states) and log weights (hypotheses)."""

    mean: Numbers = field(default_factory=lambda: np.zeros((1, 0)))
    cov: Numbers = field(default_factory=lambda: np.zeros((0, 0)))
    log_weight: Numbers = field(default_factory=lambda: np.zeros(1))

    @property
    def weights(self) -> Numbers:
        """The probability of each hypothesis (hypotheses,)."""
        weights: Numbers = np.exp(self.log_weight - self.log_weight.max())
        weights /= weights.sum()
        return weights

    @property
    def likeliest(self) -> int:
        """The number of the hypothesis with the largest weight."""
        return int(self.log_weight.argmax())

    def grow(self, mean: float, variance: float) -> int:
        """One more state that nothing is known of beyond its prior; its place."""
        count, size = len(self.mean), len(self.cov)
        self.mean = np.hstack([self.mean, np.full((count, 1), mean)])
        cov = np.zeros((size + 1, size + 1))
        cov[:size, :size] = self.cov
        cov[size, size] = variance
        self.cov = cov
        return size

    def forget(self, place: int, variance: float) -> None:
        """Start a state afresh at zero, as a thing of this day only."""
        self.mean[:, place] = 0
        self.cov[place, :] = 0
        self.cov[:, place] = 0
        self.cov[place, place] = variance

    def advance(self, turn: Numbers, noise: Numbers) -> None:
        """Let time pass: the state is multiplied by ``turn`` and widened by ``noise``.

        Args:
            turn: What time does to the state (states, states).
            noise: Covariance of what it adds (states, states).
        """
        change = turn - np.eye(len(turn))
        to, of = change.nonzero()
        if len(to) > len(turn):
            self.mean = self.mean @ turn.T
            self.cov = turn @ self.cov @ turn.T + noise
            return
        # Few states change: a fraction of the work.
        by = change[to, of]
        mean, rows = self.mean.T.copy(), self.cov.copy()
        np.add.at(mean, to, by[:, None] * self.mean.T[of])
        np.add.at(rows, to, by[:, None] * self.cov[of])
        cov = rows.T.copy()
        np.add.at(cov, to, by[:, None] * rows.T[of])
        self.mean, self.cov = mean.T.copy(), cov + noise

    def observe(
        self,
        row: Row,
        value: float,
        noise: float,
        *,
        shift: Numbers | float = 0.0,
        doubt: float = 0.0,
    ) -> Numbers:
        """Take in one measured value; returns how far it was from each expectation.

        Args:
            row: How the value depends on the state.
            value: What was measured.
            noise: Variance of the measurement, above 0.
            shift: What each hypothesis adds to the value (hypotheses,).
            doubt: Chance that the value is a mistake and says next to nothing.
        """
        across, variance = self._across(row, noise)
        surprise: Numbers = value - (self.mean[:, row.places] @ row.factors + shift)
        good = _log_normal(surprise, variance)
        share = np.ones(len(good))
        if doubt > 0:
            wide = variance + DOUBT_TIMES.value * noise + DOUBT_LEAST.value**2
            good, share = _mixed(good, _log_normal(surprise, wide), doubt)
        self.log_weight = self.log_weight + good
        self.mean = self.mean + (share * surprise / variance)[:, None] * across
        self.cov = self.cov - (share[0] / variance) * across[:, None] * across
        return surprise

    def observe_at_least(
        self,
        row: Row,
        bound: float,
        noise: float,
        *,
        shift: Numbers | float = 0.0,
        doubt: float = 0.0,
        mostly: Mostly | None = None,
    ) -> None:
        """Take in that a value is at least ``bound``; arguments as of ``observe``.

        How far that moves a belief hangs on how wide it is, and a bound is not to be read by a
        prior that is only kept wide for what is rare. How likely it was is judged by the wide one
        all the same: that holds up better where falls spare some exercise.

        Args:
            row: How the value depends on the state.
            bound: What it is at least.
            noise: Variance of the measurement, above 0.
            shift: What each hypothesis adds to the value (hypotheses,).
            doubt: Chance that it is a mistake and says next to nothing.
            mostly: What is mostly believed of the row's states, in its order.
        """
        across, variance = self._across(row, noise)
        margin = self.mean[:, row.places] @ row.factors + shift - bound
        usual = margin, variance
        if mostly is not None:
            usual = (
                margin - mostly.off @ (mostly.pull @ row.factors),
                float(row.factors @ mostly.cov @ row.factors) + noise,
            )
        if usual[0].min() > _FAR_ABOVE * sqrt(usual[1]):
            return
        chance, lift, cut = _above(margin, variance)
        if mostly is not None:
            likely, lift_mostly, cut_mostly = _above(*usual)
            _, share = _mixed(likely, chance, 1 - mostly.chance)
            # The measurement that would move what is mostly believed just as far.
            total = variance + 1 / cut_mostly - usual[1]
            moved = (usual[0] + lift_mostly / cut_mostly - margin) / total
            lift = share * moved + (1 - share) * lift
            cut = share[0] / total + (1 - share[0]) * cut
        share = np.ones(len(margin))
        if doubt > 0:
            chance, share = _mixed(chance, np.zeros(len(margin)), doubt)
        self.log_weight = self.log_weight + chance
        self.mean = self.mean + (share * lift)[:, None] * across
        self.cov = self.cov - (share[0] * cut) * across[:, None] * across

    def tighten(self, place: int, narrow: float, wide: float, chance_wide: float) -> Numbers:
        """Turn a wide prior of a state into one that is mostly narrow, after the fact.

        A day or an exercise is mostly ordinary and now and then far off. It is observed
        with the wide prior first; what the narrow one would have said is then a known
        factor, that of one more observation of zero. Returns the chance that it was
        ordinary (hypotheses,).

        Args:
            place: A state that was forgotten to the wide variance before.
            narrow: Variance of an ordinary day, below ``wide``.
            wide: The variance it was given.
            chance_wide: How often a day is far off.
        """
        extra = 1 / (1 / narrow - 1 / wide)
        variance = self.cov[place, place] + extra
        where = self.mean[:, place].copy()
        gain = log(wide / narrow) / 2 + (log(extra) + 2 * _HALF_LOG_TAU) / 2
        said, share = _mixed(gain + _log_normal(where, variance), np.zeros(len(where)), chance_wide)
        across = self.cov[:, place].copy()
        self.log_weight = self.log_weight + said
        self.mean = self.mean - (share * where / variance)[:, None] * across
        self.cov = self.cov - (share[0] / variance) * across[:, None] * across
        return share

    def fork(self, log_weights: Numbers) -> None:
        """Add hypotheses that believe all that the first one does, with these log weights."""
        self.mean = np.vstack([self.mean, np.tile(self.mean[0], (len(log_weights), 1))])
        self.log_weight = np.concatenate([self.log_weight, log_weights])

    def keep(self, which: NDArray[np.bool_]) -> None:
        """Drop all other hypotheses; the first is always kept."""
        self.mean, self.log_weight = self.mean[which], self.log_weight[which]
        self.log_weight = self.log_weight - self.log_weight.max()

    def _across(self, row: Row, noise: float) -> tuple[Numbers, float]:
        across = self.cov[:, row.places] @ row.factors
        return across, float(across[list(row.places)] @ row.factors) + noise


def _log_normal(deviation: Numbers, variance: float) -> Numbers:
    density: Numbers = -(deviation * deviation / variance + log(variance)) / 2 - _HALF_LOG_TAU
    return density


def _above(margin: Numbers, variance: float) -> tuple[Numbers, Numbers, float]:
    """Of a value expected so far above its bound: the log chance that it is above (hypotheses,).

    And, for each unit of covariance with it, how far a mean moves up (hypotheses,), and how much
    less is unknown by the first hypothesis.
    """
    from scipy.special import log_ndtr  # noqa: PLC0415 - slow to import, needed here only

    spread = sqrt(variance)
    z = margin / spread
    chance: Numbers = log_ndtr(z)
    # Density over probability: how far the mean moves up, in standard deviations.
    ratio = np.exp(-z * z / 2 - _HALF_LOG_TAU - chance)
    cut = max(float(ratio[0] * (ratio[0] + z[0])), _LEAST_CUT)
    return chance, ratio / spread, cut / variance


def _mixed(good: Numbers, bad: Numbers, doubt: float | Numbers) -> tuple[Numbers, Numbers]:
    """Log of the mixture, and the share of the good part in it."""
    good = np.log1p(-doubt) + good
    both = np.logaddexp(good, np.log(doubt) + bad)
    return both, np.exp(good - both)


@dataclass(frozen=True)
class Moment:
    """What was believed after one moment, and what had been expected of it before.

    ``mean`` (hypotheses, states), ``cov`` (states, states) and ``weights`` (hypotheses,) after the
    observations; ``kept`` says which hypotheses were followed from there. ``turn`` is what time did
    since the moment before, ``ahead_mean`` and ``ahead_cov`` what was expected after that.
    Hypotheses that began with this moment stand behind those followed from the one before.
    """

    mean: Numbers
    cov: Numbers
    weights: Numbers
    kept: NDArray[np.bool_]
    turn: Numbers
    ahead_mean: Numbers
    ahead_cov: Numbers


@dataclass(frozen=True)
class Hindsight:
    """What is known of one moment afterwards, by each way that things may have gone since.

    ``mean`` (ways, states), ``cov`` (states, states), ``weights`` (ways,), and the hypothesis of
    the moment that each way goes through (ways,).
    """

    mean: Numbers
    cov: Numbers
    weights: Numbers
    hypothesis: NDArray[np.int_]


def smooth(moments: Sequence[Moment]) -> list[Hindsight]:
    """What is known of every moment afterwards: the backward pass of Rauch, Tung and Striebel.

    Each hypothesis is smoothed by itself and weighed by what is known at the end. One that was
    dropped on the way keeps the weight that it had then, and shares what the others
    learned later. States may be added along the way; an earlier moment knows only those it had.

    Args:
        moments: Oldest first; each with the step that led to it.
    """
    last = moments[-1]
    then = Hindsight(last.mean, last.cov, last.weights, np.arange(len(last.mean)))
    known = [then]
    for now, after in zip(reversed(moments[:-1]), reversed(moments[1:]), strict=True):
        then = _look_back(now, after, then)
        known.append(then)
    return known[::-1]


def _look_back(now: Moment, after: Moment, then: Hindsight) -> Hindsight:
    """One step of it: from what is known of a moment to what is known of the one before."""
    size = now.mean.shape[1]
    ahead, gain = after.ahead_cov[:size, :size], _gain_back(now, after)
    followed = np.flatnonzero(now.kept)
    # What began later had believed all that the plain hypothesis did.
    came_from = followed[np.where(then.hypothesis < len(followed), then.hypothesis, 0)]
    learned = (then.mean - after.ahead_mean[then.hypothesis])[:, :size] @ gain.T
    dropped = np.flatnonzero(~now.kept & (now.weights > _WEIGHTLESS))
    left = 1 - now.weights[dropped].sum()
    return Hindsight(
        mean=np.vstack([now.mean[came_from] + learned, now.mean[dropped] + then.weights @ learned]),
        cov=now.cov + gain @ (then.cov[:size, :size] - ahead) @ gain.T,
        weights=np.concatenate([left * then.weights, now.weights[dropped]]),
        hypothesis=np.concatenate([came_from, dropped]),
    )


def _gain_back(now: Moment, after: Moment) -> Numbers:
    """How much of what is learned of the next moment is learned of this one (states, states)."""
    size = now.mean.shape[1]
    turn, ahead = after.turn[:size, :size], after.ahead_cov[:size, :size]
    # What time wiped out learns nothing from what came later.
    lasting = np.flatnonzero(ahead.diagonal() > 0)
    gain = np.zeros((size, size))
    moved = (turn @ now.cov)[lasting]
    gain[:, lasting] = np.linalg.solve(ahead[np.ix_(lasting, lasting)], moved).T
    return gain


def together(moments: Sequence[Moment]) -> Numbers:
    """How the first of those moments and the last hang together: covariance (states, states).

    As known after the last one. Without it the two would look further apart than they can be,
    since what is uncertain of the level of an exercise is uncertain of both alike.
    """
    found: Numbers = moments[-1].cov
    for now, after in zip(reversed(moments[:-1]), reversed(moments[1:]), strict=True):
        gain = _gain_back(now, after)
        found = gain @ found[: len(gain)]
    return found
