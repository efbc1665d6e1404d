"""Sheets of the Trellis' risk: how likely rows go over, builds whose fate is known, stouter posts step by step."""

from topwire.show.sheet import Column, Link, LinkKind, Sheet
from topwire.tell.reader import Reader
from topwire.tell.row_names import addresses
from topwire.tell.trellis import KNOWN
from topwire.tell.words import in_system
from topwire.trellis.findings import TrellisFindings
from topwire.values.quantities import Plain
from topwire.values.units import Kind

POSTS = (Link(LinkKind.SETTING, "trellis.posts"), Link(LinkKind.TABLE, "posts"))
_CHOICE = (Link(LinkKind.SETTING, "trellis.choose_by"), Link(LinkKind.SETTING, "place.gust"))


def risks(found: TrellisFindings, reader: Reader) -> Sheet:
    return Sheet(
        "trellis.risk",
        "How likely the rows go over",
        (
            Column("rows", "rows", width=1.2),
            Column("post", "line post", width=1.3, links=POSTS),
            Column("moist", "goes over at, moist ground", Kind.SPEED, width=0.9),
            Column("soaked", "soaked", Kind.SPEED, width=0.7),
            Column("in_year", "chance a year, grown", Plain.SHARE, 2, width=0.9, links=_CHOICE),
            Column("in_life", "in the plan’s years", Plain.SHARE, 1, width=0.9, links=_CHOICE),
            Column("tips", "ground yields", Plain.SHARE, 1, width=0.8),
            Column("snaps", "posts break", Plain.SHARE, 1, width=0.8),
            Column("by_draws", "by the second method", Plain.SHARE, 1, width=0.9),
            Column("loss", "expected loss", Plain.MONEY, width=0.9, unit=found.currency),
        ),
        tuple(
            (
                addresses(line.rows),
                f"{line.post}, {reader.tape(line.depth)} deep, at most {reader.tape(line.spacing)} apart",
                line.moist,
                line.soaked,
                line.in_year,
                line.in_life,
                line.tips,
                line.snaps,
                line.by_draws,
                line.expected_loss,
            )
            for line in found.risks
        ),
        "Gusts at full crop, in the middle of what is known; chances over gusts, season, crop, ground and strength. "
        "The second method draws rows and storms one by one. The loss is that of the rows together, worth today.",
    )


def known(found: TrellisFindings, reader: Reader) -> Sheet:
    return Sheet(
        "trellis.known_builds",
        "Usual, sturdy and fallen builds",
        (
            Column("build", "build", width=2),
            Column("moist", "goes over at, moist ground", Kind.SPEED, width=0.9),
            Column("soaked", "soaked", Kind.SPEED, width=0.7),
            Column("without_trees", "soaked, roots left out", Kind.SPEED, width=0.8),
            Column("outer", "here, outer row, in the plan’s years", Plain.SHARE, width=0.9),
            Column("inner", "inner row", Plain.SHARE, width=0.7),
            Column("told", "what is told of it", width=2.4, links=(Link(LinkKind.SOURCE, "TRELLIS-STORMS"),)),
        ),
        tuple(
            (
                in_system(KNOWN[line.build].says, reader),
                line.moist,
                line.soaked,
                line.soaked_without_trees,
                line.outer_in_life,
                line.inner_in_life,
                in_system(KNOWN[line.build].remedy, reader) or None,
            )
            for line in found.known
        ),
        "Gusts broadside at full crop in silt loam, outer row; chances in the gusts and the ground of this place.",
    )


def steps(found: TrellisFindings, reader: Reader) -> Sheet:
    return Sheet(
        "trellis.steps",
        "Stouter posts, step by step",
        (
            Column("rows", "rows", width=0.6),
            Column("post", "line post", width=1.5, links=POSTS),
            Column("depth", "in the ground", width=0.8),
            Column("spacing", "apart", width=0.8),
            Column("cost", "posts, set", Plain.MONEY, width=0.8, unit=found.currency),
            Column("loss", "expected loss", Plain.MONEY, width=0.8, unit=found.currency),
            Column("chance", "chance to go over in the plan’s years", Plain.SHARE, 1, width=1, links=_CHOICE),
            Column("per_percent", "for each 1 % less", Plain.MONEY, width=0.9, unit=found.currency),
            Column("chosen", "this plan", width=0.6),
        ),
        tuple(
            (
                "outer" if line.outer else "inner",
                line.post,
                reader.tape(line.depth),
                reader.tape(line.spacing),
                line.posts_cost,
                line.expected_loss,
                line.in_life,
                line.per_percent,
                line.chosen,
            )
            for line in found.steps
        ),
        "No other posts of the catalogue are both cheaper and safer than these. The plan’s have the least of both "
        "together among those that stand the middle gust of ten years "
        f"({reader.text(found.floor_gust, Kind.SPEED)}), soaked and full of fruit.",
    )
