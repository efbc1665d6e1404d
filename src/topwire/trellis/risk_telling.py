"""What is told of how likely rows go over."""

from collections.abc import Iterator

from topwire.trellis.asked import TrellisQuestion
from topwire.trellis.at_risk import StormSite
from topwire.trellis.kits import WIDEST
from topwire.trellis.sized import SizedTrellis
from topwire.values.notice import Measured, Notice, assumption, caution, remark, warning
from topwire.values.units import Kind

DEEPER = 0.1  # [m] below the soil that roots use, from which it is told


def risk_notices(asked: TrellisQuestion, found: SizedTrellis) -> Iterator[Notice]:
    """How likely rows go over, how deep posts stand in what soil there is, and what no post can save."""
    for risk in found.risks:
        yield remark(
            "trellis.chance_of_falling",
            setting="trellis.choose_by",
            concerns=risk.rows,
            source="TRELLIS-STORMS",
            outer=risk.outer,
            chance=risk.in_life,
            years=int(asked.life),
            yearly=risk.in_year,
            moist=Measured(risk.moist, Kind.SPEED),
            soaked=Measured(risk.soaked, Kind.SPEED),
        )
    if asked.net is not None and found.risks:
        worst = max(found.risks, key=lambda risk: risk.in_life - (risk.without_net or 0.0))
        yield caution(
            "trellis.netted",
            setting="trellis.net",
            concerns=[row for risk in found.risks for row in risk.rows],
            source="ASCE7-16",
            hail=asked.net.all_leaf,
            chance=worst.in_life,
            without=worst.without_net or 0.0,
            side="outer" if worst.outer else "inner",
        )
    wide = [risk for risk in found.risks if risk.spacing > WIDEST + 1e-6]
    if wide:
        yield warning(
            "trellis.wide_spans",
            setting="trellis.post_spacing",
            concerns=[row for risk in wide for row in risk.rows],
            source="GFG-2016",
            spacing=Measured(max(risk.spacing for risk in wide), Kind.LENGTH),
            widest=Measured(WIDEST, Kind.LENGTH),
        )
    deep = [risk for risk in found.risks if risk.depth > asked.soil_depth + DEEPER]
    if deep:
        yield warning(
            "trellis.deeper_than_soil",
            setting="place.soil.depth",
            concerns=[row for risk in deep for row in risk.rows],
            depth=Measured(max(risk.depth for risk in deep), Kind.LENGTH),
            soil=Measured(asked.soil_depth, Kind.LENGTH),
        )
    if asked.weak_unions and found.rows:
        yield caution(
            "trellis.union_first", setting="trees.rootstock", concerns=asked.weak_unions, source="ROOT-S7"
        )
    if found.risks and asked.pull_test is not None:
        known = StormSite(asked.storm, asked.stock.soil, asked.ages, asked.pull_test).known
        yield remark(
            "trellis.pull_test",
            setting="trellis.pull_test",
            soaked=known.soil[1][0],
            moist=known.soil[0][0],
            roots=known.roots[0],
            post=asked.pull_test.post is not None,
            trees=asked.pull_test.trees is not None,
        )
    if found.risks:
        yield assumption("trellis.risk_rests_on", setting="trellis.choose_by", source="TRELLIS-STORMS")
