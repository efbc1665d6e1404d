"""Where juice as it strays leaves its bounds it is told, of all that is pressed, asked for by style or not."""

from types import SimpleNamespace
from typing import Any

from topwire.choice.telling import _blends
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.units import UnitSystem


def blend(product: str, chance: float, *, pressed: bool = True, style: str | None = None) -> Any:
    season = SimpleNamespace(measured=0.25)
    return SimpleNamespace(
        need=0, product=product, within=1.0, chance=chance, pressed=pressed, style=style,
        season=season, sides=(), guessed=(),
    )  # fmt: skip


def test_juice_and_cider_by_its_class_are_told_like_a_style() -> None:
    made = (
        blend("sauce", 0.68, pressed=False),  # sweetened or soured in the pan
        blend("table juice", 0.67),
        blend("bittersweet cider fruit", 0.96),
        blend("sharp cider fruit", 0.87),
        blend("still dry cider", 0.76, style="still dry"),
    )
    needs: Any = (SimpleNamespace(),)
    (strays,) = (one for one in _blends(needs, made) if one.code == "choice.blends_stray")
    assert strays.facts["products"] == ("table juice", "sharp cider fruit", "still dry cider")
    (told,) = all_told([strays], Reader(UnitSystem.METRIC))
    assert "these drinks are within bounds in every year" in str(told)
    assert "table juice in 67% (25% of its fruit measured)" in str(told)
