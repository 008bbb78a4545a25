"""Print published loads of push-ups beside what the model says.

.venv/bin/python -m tests.benchmarks.loads
"""

from tests.rules.published_loads import EBBEN, KNOWN_MISS, STATIC


def main() -> None:
    """One line a value, and the mean error over the six variants of one study."""
    for one in (*EBBEN, *STATIC, KNOWN_MISS):
        words = f"{one.study:<8} {one.who:<6} {one.name:<12}"
        numbers = f"published {one.percent:5.1f} computed {one.computed:5.1f} {one.error:+5.1f}"
        print(words, numbers)  # noqa: T201
    mean = sum(abs(one.error) for one in EBBEN) / len(EBBEN)
    print(f"mean absolute error over Ebben's six: {mean:.1f} points")  # noqa: T201


if __name__ == "__main__":
    main()
