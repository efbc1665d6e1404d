"""What water may do to people and trees: every notice whole, by source and by the laboratory's figures."""

from types import SimpleNamespace

import pytest

from topwire.values.notice import Measured, Notice, Severity
from topwire.values.terms import WaterSource
from topwire.values.units import Kind
from topwire.water import quality
from topwire.water.clogging import CLOGS, InWater

GOOD = {InWater.SALT: 0.3} | dict.fromkeys(CLOGS, 0.05)
CAUTION = Severity.CAUTION
FEEDING, POWER = Notice("water.feeding_in", CAUTION), Notice("water.electricity", CAUTION)
DROWNS = Notice("water.drowns", CAUTION, "water.source")
GERMS = Notice("water.germs", CAUTION, "water.source")
BACKFLOW = Notice("water.flows_back", CAUTION, "water.source")


def permit(kind: str) -> Notice:
    return Notice("water.permit", CAUTION, "water.source", facts={"kind": kind})


def asked(**other: object) -> SimpleNamespace:
    def row(what: str, low: float, high: float, source: str) -> SimpleNamespace:
        return SimpleNamespace(
            what=what,
            unit="mg/L",
            well_below=low,
            trouble_above=high,
            source=source,
            says=f"{what} harms",
            remedy="mend it",
        )

    usual = {
        "source_kind": WaterSource.WELL,
        "planted": SimpleNamespace(bloom_kill=0.0),
        "floor": 720.0,
        "source": SimpleNamespace(flow=7.0e-4, laden=False, open_water=False),
        "test": GOOD,
        "tables": SimpleNamespace(
            quality=(
                row("salt (conductivity)", 0.7, 1.7, "FAO29"),
                *(row(what.value, 0.1, 1.5, "BUCKS") for what in CLOGS),
            )
        ),
    }
    return SimpleNamespace(**(usual | other))


@pytest.mark.parametrize(
    ("source", "told"),
    [
        (WaterSource.DRINKING_WATER, [BACKFLOW, FEEDING, POWER]),
        (WaterSource.WELL, [permit("well"), FEEDING, POWER]),
        (WaterSource.POND, [permit("pond"), DROWNS, FEEDING, GERMS, POWER]),
        (WaterSource.STREAM, [permit("stream"), FEEDING, GERMS, POWER]),
    ],
)
def test_each_danger_of_a_source_is_told(source: WaterSource, told: list[Notice]) -> None:
    """Surface water carries germs onto fruit; drinking water needs its guard; a pump near water its switch."""
    assert quality.cautions(asked(source_kind=source)) == told  # type: ignore[arg-type]


@pytest.mark.parametrize("source", list(WaterSource))
def test_a_store_drowns_whatever_fills_it(source: WaterSource) -> None:
    """A pond however much it holds; a tank at hand or advised beside any other source."""
    found = quality.cautions(asked(source_kind=source), stored=True)  # type: ignore[arg-type]
    assert [notice.code for notice in found].count("water.drowns") == 1
    told = quality.cautions(asked(source_kind=source))  # type: ignore[arg-type]
    assert any(notice.code == "water.drowns" for notice in told) is (source is WaterSource.POND)


@pytest.mark.parametrize(("flow", "enough"), [(7.0e-4, True), (6.9e-4, False)])
def test_frost_water_is_told_with_what_it_wants(flow: float, enough: bool) -> None:
    """3.5 mm an hour on 720 m2 is 0.7 L/s."""
    cold = asked(planted=SimpleNamespace(bloom_kill=0.021), source=SimpleNamespace(flow=flow))
    (frost,) = quality.against_frost(cold)  # type: ignore[arg-type]
    wanted = frost.facts["wanted"]
    assert isinstance(wanted, Measured)
    assert wanted == Measured(pytest.approx(7.0e-4), Kind.FLOW)  # type: ignore[arg-type]
    assert frost == Notice(
        "water.frost",
        Severity.REMARK,
        "water.flow",
        facts={"wanted": wanted, "has": Measured(flow, Kind.FLOW), "enough": enough},
    )
    calm = asked(planted=SimpleNamespace(bloom_kill=0.02))
    assert quality.against_frost(calm) == []  # type: ignore[arg-type]


def test_good_water_needs_a_filter_and_untested_water_a_test() -> None:
    good = quality.tested(asked())  # type: ignore[arg-type]
    assert [notice.code for notice in good] == ["water.cleaned"]
    assert good[0].facts == {"days": 28, "media": False}
    for left_out in (InWater.SALT, InWater.IRON):
        test = {what: value for what, value in GOOD.items() if what is not left_out}
        (untested, *_) = quality.tested(asked(test=test))  # type: ignore[arg-type]
        assert (untested.code, untested.concerns) == ("water.untested", (left_out.value,))


def test_salt_is_told_with_the_crop_it_costs() -> None:
    """FAO29: 16 % of the crop a dS/m of the soil above 1.7; the soil has 1.5 times the water's salt."""
    salty, _ = quality.tested(asked(test=GOOD | {InWater.SALT: 2.0}))  # type: ignore[arg-type]
    assert salty.facts.pop("crop") == pytest.approx(0.792)  # type: ignore[attr-defined]
    assert salty.facts.pop("more") == pytest.approx(2.0 / (2 * 7.95))  # type: ignore[attr-defined]
    assert salty == Notice(
        "water.salty",
        Severity.WARNING,
        "water.salt",
        facts={"salt": 2.0, "does": "salt (conductivity) harms", "remedy": "mend it"},
        source="FAO29",
    )


@pytest.mark.parametrize(("iron", "too_much"), [(1.5, False), (1.6, True)])
def test_iron_is_told_and_from_when_it_is_too_much(iron: float, too_much: bool) -> None:
    laden, cleaned = quality.tested(asked(test=GOOD | {InWater.IRON: iron}))  # type: ignore[arg-type]
    assert (laden.code, laden.setting, laden.source) == ("water.laden", "water.iron", "BUCKS")
    assert laden.facts["too_much"] is too_much
    assert laden.facts["drip"] is True
    assert cleaned.facts["days"] == (7 if too_much else 14)


def test_yield_under_salt() -> None:
    assert quality.yield_under_salt([0.0, 1.7, 2.7, 20.0]).tolist() == [100.0, 100.0, 84.0, 0.0]
    assert quality.yield_under_salt(3.0, threshold=2.0, slope=10.0) == 90.0
    assert quality.leaching_share_drip(0.8, 8.0) == pytest.approx(0.05)
