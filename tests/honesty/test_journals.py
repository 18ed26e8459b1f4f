"""A few of the journals that `make honesty` plants by the hundred."""

from __future__ import annotations

import numpy as np
import pytest

from tests.honesty.household import household
from tests.honesty.journals import EFFECT, FINER, told


@pytest.fixture(scope="module")
def database():
    with household() as made:
        yield made


@pytest.mark.parametrize("cause", FINER)
def test_a_grind_made_finer_as_the_bag_ages_cannot_be_told_apart(database, cause):
    pages = told(database, np.random.default_rng(3), FINER[cause], journals=6)
    for page in ("groups", "trend in a bag", "ranking"):
        assert pages[page].claimed == 0
        assert pages[page].not_apart > 0
    assert pages["what to change"].claimed == 0


def test_what_was_planted_is_found(database):
    pages = told(database, np.random.default_rng(4), EFFECT, {"groups": 1.0}, journals=6)
    assert pages["groups"].up > 0.5
    assert pages["groups"].held > 0.8
    assert pages["trend in a bag"].down > 0
    assert pages["ranking"].up > 0.5
    assert pages["tasters"].up > 0.5
    assert pages["what to change"].up > 0.3
