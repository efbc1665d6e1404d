"""The plan's needs as weeks: closed weeks, periods of use, how long a product keeps."""

import numpy as np
import pytest
from choice.conftest import CATALOGUE
from pydantic import ValidationError

from topwire.choice.answer import need_line
from topwire.choice.needs import WeeklyNeed
from topwire.choice.plate import JuiceSide
from topwire.choice.question import weekly_need
from topwire.plan.kitchen import KitchenSection, Need
from topwire.show.choice_sheets import made_and_eaten
from topwire.tell.choice import need_label
from topwire.tell.reader import Reader
from topwire.values.fault import Faults
from topwire.values.units import UnitSystem

SAUCE: dict[str, object] = {"use": "sauce", "amount": "100 kg/season", "from": "27 Aug", "to": "30 Sep"}


def weeks_of(need: dict[str, object], **kitchen: object) -> WeeklyNeed:
    section = KitchenSection.model_validate({"needs": [need], **kitchen})
    return weekly_need(section, CATALOGUE, section.needs[0])


def test_a_product_is_eaten_between_its_days_and_keeps_as_the_catalogue_has_it() -> None:
    need = weeks_of(SAUCE | {"used_from": "24 Dec", "used_to": "8 Jan"})
    assert need.weeks == (35, 36, 37, 38, 39)
    assert need.used == (52, 1, 2)
    assert need.shelf_weeks == 52
    assert need.total == 100
    assert need.by_week().nonzero()[0].tolist() == [0, 1, 51]
    line = need_line(need, np.zeros((1, 52)))
    assert need_label(line, Reader(UnitSystem.METRIC)) == "sauce, 100\u00a0kg a season, eaten 24 Dec to 8 Jan"
    assert need_label(line, Reader(UnitSystem.US)) == "sauce, 220\u00a0lb a season, eaten 24 Dec to 8 Jan"


def test_the_grower_s_own_keeping_goes_first() -> None:
    assert weeks_of(SAUCE | {"used_from": "1 Oct", "used_to": "1 Dec", "keeps": 8}).shelf_weeks == 8


def test_in_closed_weeks_nothing_is_wanted_and_nothing_eaten() -> None:
    weekly = weeks_of(SAUCE | {"amount": "10 kg/week"}, closed_weeks=[36, 37])
    assert (weekly.weeks, weekly.total) == ((35, 38, 39), 30)
    product = weeks_of(SAUCE | {"used_from": "24 Dec", "used_to": "8 Jan"}, closed_weeks=[1, 36])
    assert product.used == (52, 2)
    assert product.weeks == (35, 36, 37, 38, 39)  # the kitchen has time to cook
    with pytest.raises(Faults, match="closed all that time"):
        weeks_of(SAUCE | {"used_from": "1 Jan", "used_to": "8 Jan"}, closed_weeks=[1, 2])


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"used_from": "1 Oct"}, "two ends"),
        ({"keeps": 8}, "keeps goes with used_from"),
        ({"use": "pie", "used_from": "1 Oct", "used_to": "1 Dec"}, "not with pie"),
        ({"amount": "10 kg/week", "used_from": "1 Oct", "used_to": "1 Dec"}, "state all that is made"),
        ({"use": "dried", "blend": "usual"}, "not with dried"),
        ({"blend": "sweet cider"}, "juice only"),
    ],
)
def test_what_goes_not_together_is_said(change: dict[str, object], says: str) -> None:
    with pytest.raises(ValidationError, match=says):
        Need.model_validate(SAUCE | change)


def test_the_usual_blend_has_the_bounds_of_the_catalogue() -> None:
    need = weeks_of(SAUCE | {"use": "cider", "blend": "usual"})
    assert need.blend is not None
    acid, tannin = (need.blend.bounds[side] for side in (JuiceSide.ACID, JuiceSide.TANNIN))
    assert (acid.low, acid.high) == (4.5, 7.5)  # JOLICOEUR-ACID
    assert (tannin.low, tannin.high) == (1.0, 2.0)  # LEA-CRAFT, from memory


def test_weeks_eaten_and_weeks_made_stand_apart_in_the_table() -> None:
    need = weeks_of(SAUCE | {"used_from": "24 Dec", "used_to": "8 Jan"})
    assert made_and_eaten(need_line(need, np.zeros((1, 52)))) == "24 Dec, 8 Jan; made 27 Aug, 24 Sep"
