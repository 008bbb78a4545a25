"""Sets, loads and sides in words: the worked examples beside each function hold."""

import doctest

import pytest

from sessions import pages_session, set_words


@pytest.mark.parametrize(("module", "examples"), [(set_words, 6), (pages_session, 2)])
def test_the_examples_in_the_docstrings_hold(module, examples):
    result = doctest.testmod(module)

    assert result.failed == 0
    assert result.attempted >= examples
