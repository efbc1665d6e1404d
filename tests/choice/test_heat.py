"""Sorts of cool summers in hot places."""

from topwire.choice.heat import SPOILED, Suits, spoiled_by_heat


def test_heat_spoils_only_what_is_known_for_cool_summers() -> None:
    assert spoiled_by_heat(None, 2500) == spoiled_by_heat(Suits.HOT, 2500) == 0
    assert spoiled_by_heat(Suits.COOL, 1000) == 0
    assert 0 < spoiled_by_heat(Suits.COOL, 1600) < spoiled_by_heat(Suits.COOL, 2500) == SPOILED
