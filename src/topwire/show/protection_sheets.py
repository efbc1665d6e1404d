"""What threatens on a day, as sheets."""

from topwire.protection.findings import Exposed, FrostLine, ProtectionFindings, ThreatWindow
from topwire.show.sheet import Column, LinkKind, Sheet, sheet_of, table
from topwire.tell.protection import DANGERS, THREATS
from topwire.tell.reader import Reader
from topwire.tell.row_names import addresses
from topwire.tell.speech import speech
from topwire.tell.words import in_system, told
from topwire.values.quantities import Plain
from topwire.values.units import Kind

SHOWN = 6  # cultivars named in a line, the most susceptible first


def windows(found: ProtectionFindings, reader: Reader) -> Sheet:
    """One line a window, the most urgent first."""
    return sheet_of(
        "protection.windows",
        f"What threatens on {reader.date(found.today.isoformat())}",
        (
            Column("danger", "danger", words=DANGERS),
            Column("threat", "threat", of=lambda one: str(one.threat)),
            Column("first", "from"),
            Column("last", "to"),
            Column("rests_on", "known from", of=_rests_on),
            Column("reason", "why", of=lambda one: told(one.reason, speech(), reader).says, width=3),
            Column("where", "where, most susceptible first", of=_where, width=2, links=_RATINGS),
            Column("bees", "open bloom", of=lambda one: "flowers open: bees fly" if one.bees else None),
            Column("look_from", "look from"),
            Column("look_to", "look to"),
            Column("source", "source", of=lambda one: one.reason.source, leads=LinkKind.SOURCE),
        ),
        found.windows,
        "Follow the product label and your local extension service; have treatments done by a licensed applicator "
        "where the law asks it. Times to enter and to pick: see the label.",
    )


_RATINGS = table("cultivars", "disease_ratings")


def _rests_on(one: ThreatWindow) -> str:
    made = "daily weather" if one.estimated else "hours measured"
    if one.usual:
        return f"{made}, then as in the years before"
    return f"forecast, {made}" if one.forecast else made


def _where(one: ThreatWindow) -> str:
    if not one.exposed:
        return "all rows"
    named = [_named(row) for row in one.exposed[:SHOWN]]
    more = len(one.exposed) - SHOWN
    return "; ".join([*named, *([f"and {more} more"] if more > 0 else [])])


def _named(row: Exposed) -> str:
    return f"{row.cultivar} ({addresses(row.rows)}{'' if row.rated else ', not rated'})"


def frost(found: ProtectionFindings, reader: Reader) -> Sheet:
    """Nights that may kill buds, cultivar by cultivar, with what a degree would cost."""
    step = reader.text(1.0, Kind.TEMPERATURE_STEP, 0)
    return sheet_of(
        "protection.frost",
        "Frost by cultivar",
        (
            Column("night", "night to"),
            Column("cultivar", "cultivar", leads=LinkKind.CULTIVAR),
            Column("stage", "stage", of=lambda one: str(one.stage)),
            Column("low", "lowest", Kind.TEMPERATURE, 0),
            Column("ten", "a tenth lost at", Kind.TEMPERATURE, 0),
            Column("ninety", "nine tenths lost at", Kind.TEMPERATURE, 0),
            Column("killed", "buds killed", Plain.SHARE),
            Column("killed_high_error", "low", Plain.SHARE),
            Column("killed_low_error", "high", Plain.SHARE),
            Column("killed_colder", f"{step} below", Plain.SHARE),
            Column("killed_warmer", f"{step} above", Plain.SHARE),
            Column("killed_so_far", "killed with the nights before", Plain.SHARE, 1),
            Column("left", "full crop left", Plain.SHARE),
            Column("rows", "rows", of=lambda one: addresses(one.rows)),
            Column("trees", "trees"),
        ),
        _nights(found),
        "Temperatures that kill buds in half an hour, by stage; a bud is as far as its heat since March says.",
        (
            in_system(
                "Low and high: a lowest temperature measured at the station is taken as known to [1 °C|2 °F] at the "
                "trees, one of a forecast to [2 °C|4 °F]. Hang a thermometer in the lowest row.",
                reader,
            ),
        ),
    )


def signs(found: ProtectionFindings, reader: Reader) -> Sheet:
    """What to look for of the threats shown, and what hands can do."""
    return sheet_of(
        "protection.signs",
        "What to look for, and what to do without a spray",
        (
            Column("threat", "threat", of=str),
            Column("signs", "look for", of=lambda one: in_system(THREATS[one].signs, reader), width=2),
            Column("when", "when", of=lambda one: in_system(THREATS[one].when, reader), width=2),
            Column(
                "by_hand", "without a spray", of=lambda one: in_system(THREATS[one].by_hand, reader), width=3
            ),
        ),
        dict.fromkeys(one.threat for one in found.windows),
        "What may be sprayed, when, and when to enter and to pick after it: label and extension service.",
    )


def _nights(found: ProtectionFindings) -> list[FrostLine]:
    return sorted(found.frost, key=lambda line: (line.night, -line.killed))
