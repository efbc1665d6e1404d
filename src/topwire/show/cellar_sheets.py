"""Sheets of the cellar and the kitchen: lots by what goes first, what the kitchen gets, what is made."""

from datetime import date

from topwire.cellar.cider import ph_digits
from topwire.season.cellar_findings import BatchSheet, CellarFindings, LotState, NeedLeft
from topwire.show.sheet import Column, LinkKind, Sheet, sheet_of
from topwire.tell.reader import Reader
from topwire.values.calendar import week_label
from topwire.values.quantities import Plain
from topwire.values.units import Kind

_MASS = Kind.MASS
_WEEKS = 4


def sheets(found: CellarFindings, reader: Reader) -> list[Sheet]:
    """Every sheet that has a line."""
    made = [
        lots("cellar.lots", "In the cellar, what goes first", found.lots),
        *([kitchen(found)] if any(need.served.any() for need in found.needs) else []),
        allotted(found, reader),
        batches(found, reader),
    ]
    return [sheet for sheet in made if sheet.rows]


def lots(name: str, title: str, lines: tuple[LotState, ...]) -> Sheet:
    return sheet_of(
        name,
        title,
        (
            Column("first", "use", of=lambda line: str(line.first)),
            Column("cultivar", "cultivar", width=2, leads=LinkKind.CULTIVAR),
            Column("lot", "lot", of=lambda line: line.lot or None),
            Column("grade", "grade"),
            Column("stored", "where", of=lambda line: line.stored or None),
            Column("sound", "sound", _MASS),
            Column("age", "age, weeks", Plain.COUNT),
            Column(
                "table_left", "weeks left for the table", Plain.COUNT, of=lambda line: line.table_left or None
            ),
            Column("kitchen_left", "weeks left for the kitchen", Plain.COUNT),
            Column("until", "until", of=lambda line: date.fromisoformat(line.until)),
            Column("dried", "water lost by then", Plain.SHARE),
            Column("unused", "no use for", _MASS, of=lambda line: line.unused or None),
        ),
        lines,
        "By cultivar, temperature and age; look through each lot and note what share is sound. Fruit shrivels "
        "from some 5 % dried out.",
    )


def kitchen(found: CellarFindings) -> Sheet:
    weeks = range(_WEEKS)

    def share_in(at: int) -> Column:
        start = (found.first_week - 1 + at) % 52 + 1
        return Column(f"week_{at}", f"week of {week_label(start)}", _MASS, of=lambda line: _of_week(line, at))

    return sheet_of(
        "cellar.kitchen",
        "What the kitchen gets",
        (
            Column("use", "use"),
            Column("dish", "dish", of=lambda line: line.dish or None),
            Column("wanted", "wanted a week", _MASS, of=lambda line: _first(line)),
            *(share_in(at) for at in weeks),
            Column("last_week", "its end, week of", of=lambda line: week_label(line.last_week)),
            Column("share", "served to the end", Plain.SHARE),
        ),
        found.needs,
        "Shared out again from the fruit at hand and on the trees; whole fruit. A need ends before the next crop’s "
        f"first fruit for it, what is made with its last week of use, each after {found.ahead / 7:.0f} weeks at most.",
    )


def _first(line: NeedLeft) -> float | None:
    known = line.wanted[line.wanted > 0]
    return float(known[0]) if known.size else None


def _of_week(line: NeedLeft, at: int) -> float | None:
    return float(line.served[at]) if line.wanted[at] > 0 or line.served[at] > 0 else None


def allotted(found: CellarFindings, reader: Reader) -> Sheet:
    return sheet_of(
        "cellar.allotment",
        "Which fruit for what",
        (
            Column("use", "use"),
            Column("dish", "dish", of=lambda line: line.dish or None),
            Column(
                "fruit", "fruit as picked, to its end", of=lambda line: _fruit(line.lots, reader), width=4
            ),
        ),
        (need for need in found.needs if need.lots),
        "Before losses in store and trimming, so it is more than the need.",
    )


def _fruit(lots: tuple[tuple[str, float], ...], reader: Reader) -> str:
    return ", ".join(f"{name} {reader.text(kg, _MASS)}" for name, kg in lots)


def batches(found: CellarFindings, reader: Reader) -> Sheet:
    def sulphite(line: BatchSheet) -> str | None:
        if line.use != "cider":
            return None
        free = (
            "blend with a sharp lot first:" if line.sulphite is None else f"{1e3 * line.sulphite:.0f} mg/L at"
        )
        return f"{free}{'' if line.ph_read else ' about'} pH {line.ph:.{ph_digits(read=line.ph_read)}f}"

    return sheet_of(
        "cellar.batches",
        "Batch sheets, from the fruit in the cellar",
        (
            Column("use", "use"),
            Column("kg", "fruit", _MASS),
            Column("fruit", "of", of=lambda line: _fruit(line.fruit, reader), width=3),
            Column("juice", "juice", Kind.SMALL_VOLUME),
            Column("acid", "acid", Plain.CONCENTRATION, 1),
            Column("tannin", "tannin", Plain.CONCENTRATION, 1),
            Column("sugar", "sugar, %", Plain.RATIO, 1),
            Column("alcohol", "alcohol, %", Plain.RATIO, 1),
            Column("sulphite", "free sulphite", of=sulphite),
        ),
        found.batches,
        "Sugar in degrees Brix. Acid, tannin and sugar of the cultivars or their class; “about pH” is read from the "
        "acid, good to a quarter of a unit: measure your own. The cautions are part of the sheet.",
    )
