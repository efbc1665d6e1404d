"""Sheets of the Trellis' risk: how likely rows go over, builds whose fate is known, stouter posts step by step."""

from topwire.show.sheet import Column, Sheet, setting, sheet_of, source, table
from topwire.tell.known_builds import KNOWN
from topwire.tell.reader import Reader
from topwire.tell.row_names import addresses
from topwire.tell.trellis import YARDSTICKS
from topwire.tell.words import in_system
from topwire.trellis.findings import TrellisFindings
from topwire.trellis.risk_findings import KitRisk, StormSeason, Yardstick
from topwire.values.quantities import Plain
from topwire.values.units import Kind

POSTS = setting("trellis.posts") + table("posts")
_CHOICE = setting("trellis.choose_by", "place.gust")
_SIDE = {True: "outer", False: "inner"}
_STORMS = source("TRELLIS-STORMS")


def _post(line: KitRisk, reader: Reader) -> str:
    return f"{line.post}, {reader.tape(line.depth)} deep, at most {reader.tape(line.spacing)} apart"


def risks(found: TrellisFindings, reader: Reader) -> Sheet:
    return sheet_of(
        "trellis.risk",
        "How likely the rows go over",
        (
            Column("rows", "rows", width=1.2, of=lambda line: addresses(line.rows)),
            Column("post", "line post", width=1.3, links=POSTS, of=lambda line: _post(line, reader)),
            Column("moist", "goes over at, moist ground", Kind.SPEED, width=0.9),
            Column("soaked", "soaked", Kind.SPEED, width=0.7),
            Column("in_year", "chance a year, grown", Plain.SHARE, 2, width=0.9, links=_CHOICE),
            Column("in_life", "in the plan’s years", Plain.SHARE, 1, width=0.9, links=_CHOICE),
            Column("tips", "ground yields", Plain.SHARE, 1, width=0.8),
            Column("snaps", "posts break", Plain.SHARE, 1, width=0.8),
            Column("by_draws", "by the second method", Plain.SHARE, 1, width=0.9),
            Column("loss", "expected loss", Plain.MONEY, width=0.9, unit=found.currency, of="expected_loss"),
        ),
        found.risks,
        "Gusts at full crop, in the middle of what is known; chances over gusts, season, crop, ground and strength. "
        "The second method draws rows and storms one by one. The loss is that of the rows together, worth today.",
    )


def known(found: TrellisFindings, reader: Reader) -> Sheet:
    told = {build: in_system(words.remedy, reader) for build, words in KNOWN.items()}
    return sheet_of(
        "trellis.known_builds",
        "Usual, sturdy and fallen builds",
        (
            Column("build", "build", width=2, of=lambda line: in_system(KNOWN[line.build].says, reader)),
            Column("moist", "goes over at, moist ground", Kind.SPEED, width=0.9),
            Column("soaked", "soaked", Kind.SPEED, width=0.7),
            Column("soaked_without_trees", "soaked, roots left out", Kind.SPEED, width=0.8),
            Column("outer_in_life", "here, outer row, in the plan’s years", Plain.SHARE, width=0.9),
            Column("inner", "inner row", Plain.SHARE, width=0.7, of="inner_in_life"),
            Column(
                "told",
                "what is told of it",
                width=2.4,
                links=_STORMS,
                of=lambda line: told[line.build] or None,
            ),
        ),
        found.known,
        "Gusts broadside at full crop in silt loam, outer row; chances in the gusts and the ground of this place.",
    )


def storm_seasons(found: TrellisFindings, reader: Reader) -> Sheet:
    whence = (
        "the place’s own rain, day by day"
        if any(line.own_rain for line in found.storms)
        else "reports of storms"
    )
    return sheet_of(
        "trellis.seasons",
        "When gusts come, and what they find",
        (
            Column("when", "when", width=1.6, of=lambda line: _season(line)),
            Column("storms", "of the year’s gusts", Plain.SHARE, width=0.8),
            Column("crop", "of a full crop hangs", Plain.SHARE, width=0.8),
            Column("leaf", "drag, of full leaf", Plain.SHARE, width=0.8),
            Column("downbursts", "of these downbursts", Plain.SHARE, width=0.8),
            Column("soaked", "ground soaked, widespread wind", Plain.SHARE, width=0.9),
            Column("soaked_before", "ground soaked, downburst", Plain.SHARE, width=0.9),
        ),
        found.storms,
        in_system(
            f"Ground by {whence}: the evening of a day with [25 mm|1 in] of rain for a gale, any evening before ",
            reader,
        )
        + "for a downburst. Seasons of gusts and downbursts are readings of reports: nobody has counted them.",
    )


def _season(line: StormSeason) -> str:
    if line.leaf < 1:
        return "trees bare"
    return "heavy with fruit" if line.crop >= 1 else "in leaf, fruit small"


def yardsticks(found: TrellisFindings, reader: Reader) -> Sheet:
    ours: list[tuple[str, str, KitRisk | Yardstick]]
    ours = [(_SIDE[line.outer], "this plan", line) for line in found.risks]
    ours += [(_SIDE[line.outer], YARDSTICKS[line.kit], line) for line in found.yardsticks]
    ours.sort(key=lambda line: line[0] != _SIDE[True])
    return sheet_of(
        "trellis.beside",
        "This plan’s posts beside others",
        (
            Column("rows", "rows", width=0.6, of=lambda line: line[0]),
            Column("kit", "posts", width=1, of=lambda line: line[1]),
            Column("post", "line post", width=1.5, links=POSTS, of=lambda line: line[2].post),
            Column("depth", "in the ground", width=0.8, tape=True, of=lambda line: line[2].depth),
            Column("spacing", "apart", width=0.8, tape=True, of=lambda line: line[2].spacing),
            Column(
                "cost", "posts, set", Plain.MONEY, width=0.8, unit=found.currency,
                of=lambda line: line[2].posts_cost,
            ),
            Column(
                "loss", "expected loss", Plain.MONEY, width=0.8, unit=found.currency,
                of=lambda line: line[2].expected_loss,
            ),
            Column(
                "in_life", "chance to go over in the plan’s years", Plain.SHARE, 2, width=1, links=_CHOICE,
                of=lambda line: line[2].in_life,
            ),
        ),
        ours,
        in_system("As usually set: posts of [100 mm, 1.07 m deep, 9.8 m|4 in, 3 ft 6 in deep, 32 ft] apart. ", reader)
        + "By the code’s soil: posts that bear the design gust by its presumptive soil, the drag of the codes in "
        "it, however deep that is; whether "
        "a driver sets them so is not asked. A licensed engineer and the local code decide where guests walk.",
        charts=("posts_and_chance",),
    )  # fmt: skip


def steps(found: TrellisFindings, reader: Reader) -> Sheet:
    return sheet_of(
        "trellis.steps",
        "Stouter posts, step by step",
        (
            Column("rows", "rows", width=0.6, of=lambda line: _SIDE[line.outer]),
            Column("post", "line post", width=1.5, links=POSTS),
            Column("depth", "in the ground", width=0.8, tape=True),
            Column("spacing", "apart", width=0.8, tape=True),
            Column("cost", "posts, set", Plain.MONEY, width=0.8, unit=found.currency, of="posts_cost"),
            Column("loss", "expected loss", Plain.MONEY, width=0.8, unit=found.currency, of="expected_loss"),
            Column(
                "in_life", "chance to go over in the plan’s years", Plain.SHARE, 1, width=1, links=_CHOICE
            ),
            Column("per_percent", "for each 1 % less", Plain.MONEY, width=0.9, unit=found.currency),
            Column("chosen", "this plan", width=0.6),
        ),
        found.steps,
        "No other posts of the catalogue are both cheaper and safer than these. "
        + (
            "The plan’s are those of a stamped design."
            if found.stamped
            else "The plan’s have the least of both together, wires and ends counted, among those that stand the "
            f"middle gust of ten years ({reader.text(found.floor_gust, Kind.SPEED)}), soaked and full of fruit."
        ),
    )
