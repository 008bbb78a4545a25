"""How noisy one client is: a prior worth some sessions, and what the log has shown since."""

from dataclasses import dataclass

from coaching.rules.ability_numbers import NOISE_MOST, NOISE_PRIOR_COUNTS, NOISE_REMEMBERS


@dataclass
class NoiseScale:
    """Weighted count and sum of squared noise.

    ``remembers`` is after how many observations two thirds of one are forgotten.
    """

    count: float
    total: float
    remembers: float

    @classmethod
    def of(cls, spread: float, times: int) -> "NoiseScale":
        """What is believed of any client: a standard deviation.

        Args:
            spread: The standard deviation.
            times: How many such observations a session usually makes.
        """
        count = NOISE_PRIOR_COUNTS.value * times
        return cls(count, count * spread**2, NOISE_REMEMBERS.value * times)

    @property
    def variance(self) -> float:
        """What is believed now."""
        return self.total / self.count

    def learn(self, square: float, *, weight: float) -> None:
        """Count one squared deviation."""
        most = min(square, NOISE_MOST.value * self.variance)
        kept = 1 - 1 / self.remembers
        self.count = (self.count + weight) * kept
        self.total = (self.total + weight * most) * kept
