"""What stands in the book, chapter by chapter, as plain data; the templates only set it."""

from collections.abc import Callable
from typing import Any

from topwire.book.blocks import Block, Book, facts, figure, notices, quiet, table, text
from topwire.book.drawings import elevations, maps, whip_trees
from topwire.book.field_cards import planting_blocks
from topwire.book.parts import PARTS, READERS
from topwire.book.sheets import bring_out_blocks, paper, staking_blocks
from topwire.engine.orchard import Orchard
from topwire.show.charts import Chart, department_charts, svg
from topwire.show.cited import cited
from topwire.show.summary import job
from topwire.show.table import StandsIn, Table
from topwire.show.tables import department_tables
from topwire.tell.choice import no_better
from topwire.tell.layout import opening
from topwire.tell.reader import Reader, counted
from topwire.tell.speech import all_told
from topwire.tell.words import Told
from topwire.values.notice import Severity

OPENINGS = {
    "place": "What the weather of past years means for apples here. Each year of the record is taken as one that "
    "could come again; low, middle and high are the year in ten below, the middle one, and the year in ten above.",
    "learning": "What the dates you wrote down say beside the plan's own.",
    "choice": "Which cultivars, and how many trees of each, so that the kitchen is served in good years and bad, with "
    "the trees full grown. How the crop grows up to that stands under Years.",
    "press": "What is made of the fruit, in which weeks it is pressed, and in which vessel it ends.",
    "ground": "The blocks, the way their rows run, and every place a tree can stand.",
    "nursery": "What to graft, what to buy and when, so that the trees are there with the chance you asked for.",
    "trellis": "Posts, ends and wires that stand in a storm at full crop, what to buy, and in which order to build.",
    "water": "How much water, through what, and when.",
    "years": "From the first leaf to the full crop: how the trees grow to the top wire and what they carry.",
    "soil": "What the ground needs before the trees, and the trees after; local extension decides.",
    "ledger": "Hours and money, and the year's work in order.",
}


Drawing = Callable[[Orchard, dict[str, str]], list[Block]]  # gives figures, adds their drawings by file name


def contents(orchard: Orchard, parts: tuple[str, ...] = tuple(PARTS)) -> Book:
    """The whole book as data, or the parts of these names alone."""
    drawings: dict[str, str] = {}
    made: dict[str, Callable[[], dict[str, object]]] = {
        "place": lambda: _department(orchard, "place", drawings),
        "learning": lambda: _department(orchard, "learning", drawings),
        "choice": lambda: _department(orchard, "choice", drawings, leave_out=("rivals",)),
        "press": lambda: _department(orchard, "press", drawings),
        "sureness": lambda: _sureness(orchard, drawings),
        "ground": lambda: _department(orchard, "ground", drawings),
        "layout": lambda: _department(orchard, "layout", drawings, after=maps),
        "nursery": lambda: _department(orchard, "nursery", drawings),
        "trellis": lambda: _department(orchard, "trellis", drawings, before=elevations),
        "water": lambda: _department(orchard, "water", drawings),
        "soil": lambda: _department(orchard, "soil", drawings),
        "years": lambda: _department(orchard, "years", drawings, before=whip_trees),
        "ledger": lambda: _department(orchard, "ledger", drawings),
        "assumptions": lambda: _assumptions(orchard),
        "sources": lambda: _sources(orchard),
        "staking": lambda: {"blocks": staking_blocks(orchard) or [text("There is no ground yet.")]},
        "bringing-out": lambda: {"blocks": bring_out_blocks(orchard) or [text("Nothing is planted yet.")]},
        "cards": lambda: {"blocks": planting_blocks(orchard)},
    }
    if not _dates_seen(orchard):
        del made["learning"]
    if not _presses(orchard):
        del made["press"]
    shown = [key for key in parts if key in made]
    chapters = [{"title": PARTS[key], "key": key, **made[key]()} for key in shown]
    origin = orchard.origin
    whole = set(shown) == set(made)
    readers = [
        {"says": says, "parts": [{"key": key, "title": PARTS[key]} for key in keys if key in shown]}
        for says, keys in READERS.values()
    ]
    data: dict[str, Any] = {
        "title": origin.name,
        "subtitle": f"An orchard plan for the autumn of {origin.planting_year}; {_degrees(origin.latitude, 'NS')}, "
        f"{_degrees(origin.longitude, 'EW')}",
        "paper": paper(origin.units),
        "foot": f"{origin.name}: a plan, not a promise. topwire {origin.version}, plan {origin.plan_hash[:8]}",
        "front": _front(orchard) if whole else [],
        "readers": [one for one in readers if one["parts"]] if len(shown) > 1 else [],
        "chapters": chapters,
    }
    return Book(data, drawings)


def _dates_seen(orchard: Orchard) -> bool:
    """Whether there is anything of the grower's own dates to tell."""
    learnt = orchard.learning
    return learnt is None or bool(learnt.learned or learnt.this_year or learnt.notices)


def _presses(orchard: Orchard) -> bool:
    """Whether anything is pressed, or it is not known why not."""
    return orchard.press is None or bool(orchard.press.drinks)


def _degrees(value: float, signs: str) -> str:
    return f"{abs(value):.2f}° {signs[value < 0]}"


def _front(orchard: Orchard) -> list[Block]:
    """The job on one page; everything else is detail."""
    warnings = [
        notice
        for notice in all_told(orchard.all_notices(), Reader(orchard.origin.units))
        if notice.severity in (Severity.FAULT, Severity.WARNING)
    ]
    shown = warnings[:5]
    more = len(warnings) - len(shown)
    blocks = [facts("The job on one page", job(orchard))]
    first = next(
        (found for found in department_tables(orchard, "ledger") if found.name == "ledger.next_days"), None
    )
    blocks.append(notices(shown, Severity.FAULT, where=True))
    blocks.append(notices(shown, Severity.WARNING, where=True))
    if more > 0:
        blocks.append(quiet(f"And {counted(more, 'further decision')}, each in its chapter."))
    if first is not None and first.rows:
        blocks.append(table(first))
    return blocks


def _opening(orchard: Orchard, name: str) -> str:
    """What a chapter begins with; of the planting, what was measured of it."""
    if name != "layout":
        return OPENINGS[name]
    if orchard.layout is None:
        return "Who stands where."
    return opening(orchard.layout, Reader(orchard.origin.units))


def _department(
    orchard: Orchard,
    name: str,
    drawings: dict[str, str],
    *,
    leave_out: tuple[str, ...] = (),
    before: Drawing | None = None,
    after: Drawing | None = None,
) -> dict[str, object]:
    """Opening, what needs a decision, cautions, drawings, then tables with the charts that tell the same."""
    result = orchard.departments[name]
    title = PARTS[name]
    if result is None:
        return {"title": title, "blocks": _absent(orchard, name)}
    reader = Reader(orchard.origin.units)
    told: tuple[Told, ...] = all_told(getattr(result, "notices", ()), reader)
    if name == "place":
        told = (*all_told(orchard.notices, reader), *told)
    blocks = [text(_opening(orchard, name))]
    blocks += [notices(told, severity) for severity in (Severity.FAULT, Severity.WARNING, Severity.CAUTION)]
    if before is not None:
        blocks += before(orchard, drawings)
    charts = {chart.name: chart for chart in department_charts(orchard, name) if chart.name not in leave_out}
    tables = [found for found in department_tables(orchard, name) if not set(found.charts) & set(leave_out)]
    tables = [found for found in tables if found.stands_in is StandsIn.CHAPTER and found.rows]
    for found in tables:
        blocks += [_chart(charts.pop(key), drawings) for key in found.charts if key in charts]
        blocks.append(table(found))
    blocks += [_chart(chart, drawings) for chart in charts.values()]
    blocks.append(notices(told, Severity.REMARK))
    if after is not None:
        blocks += after(orchard, drawings)
    return {"title": title, "blocks": blocks}


def _absent(orchard: Orchard, name: str) -> list[Block]:
    """Why a department is missing."""
    told = [
        notice
        for notice in all_told(orchard.notices, Reader(orchard.origin.units))
        if notice.department.split(",")[0].split(":")[0] == name
    ]
    blocks = [text("This department could not be computed. The rest of the plan stands without it.")]
    return blocks + [notices(told, severity) for severity in Severity]


def _chart(chart: Chart, drawings: dict[str, str]) -> Block:
    file = f"chart-{chart.name}.svg"
    drawings[file] = svg(chart)
    return figure(chart.title, file, chart.says, width=0.9)


def _sureness(orchard: Orchard, drawings: dict[str, str]) -> dict[str, object]:
    """How good the choice is, how it fares in years it has not seen, and what the dates and crops are off by."""
    blocks: list[Block] = []
    choice, place = orchard.choice, orchard.place
    if choice is None:
        blocks.append(text("Without a choice there is nothing to be sure of."))
    else:
        blocks.append(
            text(
                f"The choice was made over {len(choice.years)} weather years at once. The search proves "
                "that by the plan's own measure (need not met, the worst years, waste and trees together) "
                f"{no_better(choice.gap)}. That is a proof about the sums, not about the years to come; the page below "
                "asks how the plan fares in years it has not seen."
            )
        )
        charts = {chart.name: chart for chart in department_charts(orchard, "choice")}
        tables = [found for found in department_tables(orchard, "choice") if "rivals" in found.charts]
        if not tables:
            blocks.append(text("The plan was not tried on years it had not seen."))
        for found in tables:
            blocks += [_chart(charts[key], drawings) for key in found.charts if key in charts]
            blocks.append(table(_untitled(found)))
    if place is not None:
        blocks.append(
            text(
                f"Dates: a bloom date is right to about {place.bloom_error_days:.0f} days, a harvest date to about "
                f"{place.harvest_error_days:.0f} (root mean square over all cultivars: the model's error in years left "
                "out of its fit, the place's, and that of each cultivar's listed dates together). Three years of your "
                "own dates in records/bloom.csv make both better."
            )
        )
    for department in ("years", "ledger"):
        blocks += [
            table(found)
            for found in department_tables(orchard, department)
            if found.stands_in is StandsIn.SURENESS
        ]
    blocks.append(
        text(
            "What nobody has measured here is listed under Assumptions. Where a figure matters to you and stands "
            "there, measuring it is worth more than any further sum."
        )
    )
    return {"title": "How sure are we", "blocks": blocks}


def _untitled(found: Table) -> Table:
    return Table("", found.columns, found.rows, found.rests_on, found.notes, found.widths)


def _assumptions(orchard: Orchard) -> dict[str, object]:
    """Everything the plan takes as so, by department."""
    blocks = [
        text(
            "Figures the plan rests on and nobody has measured here. Each can be replaced by your own: in plan.yaml, "
            "or as rows of your own tables in the orchard's catalogue folder."
        )
    ]
    reader = Reader(orchard.origin.units)
    groups = {"": orchard.notices} | {
        name: getattr(result, "notices", ()) for name, result in orchard.departments.items()
    }
    found = [
        notices(
            all_told(told, reader),
            Severity.ASSUMPTION,
            title=PARTS.get(name, "Reading the inputs"),
        )
        for name, told in groups.items()
    ]
    told = [block for block in found if block["items"]]
    return {"title": "Assumptions", "blocks": blocks + (told or [text("No department reported one.")])}


def _sources(orchard: Orchard) -> dict[str, object]:
    """The sources this plan's notices, bills and comparisons cite, and where the weather comes from."""
    files = ", ".join(orchard.origin.weather_files)
    rows = tuple((source.key, source.citation, source.where or "–", source.mark) for source in cited(orchard))
    found = Table(
        "",
        ("key", "source", "where", "mark"),
        rows,
        "READ: seen in the source. MEMORY: known, not seen in the source. A dash: the entry does not say. The whole "
        "bibliography: topwire sources. How our figures stand beside published ones: topwire sources --checks.",
        widths=(1.1, 3.2, 2, 0.8),
    )
    credit = " ".join(orchard.origin.weather_credits)
    weather = credit and f"The weather years are those of {files}. {credit}"
    weather = weather or (
        f"The weather years are those of {files}. Daily records of the Global Historical Climatology Network "
        "(GHCN-Daily) of the United States National Oceanic and Atmospheric Administration, which the shipped examples "
        "use, are in the public domain in the United States (Menne and others, doi:10.7289/V5D21VHZ); the orchard's "
        "weather folder says where this record comes from."
    )
    return {"title": "Sources", "blocks": [text(weather), *([table(found)] if rows else [])]}
