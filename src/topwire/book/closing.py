"""The parts that close the book: how sure the plan is, what it takes as so, and whose figures it uses."""

from dataclasses import replace

from topwire.book.blocks import Block, Drawings, notices, table, text
from topwire.book.idea_pages import chart_block
from topwire.book.parts import PARTS
from topwire.engine.orchard import Orchard
from topwire.show.charts import department_charts
from topwire.show.cited import cited
from topwire.show.table import StandsIn
from topwire.show.tables import department_tables
from topwire.tell.choice import no_better
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.notice import Severity

MEASURE_IT = (
    "What nobody has measured here is listed under Assumptions. Where a figure matters to you and stands there, "
    "measuring it is worth more than any further sum."
)
MARKS = (
    "READ: seen in the source. MEMORY: known, not seen in the source. The whole bibliography: topwire sources. How our "
    "figures stand beside published ones: topwire sources --checks."
)


def sureness(orchard: Orchard, drawings: Drawings, *, full: bool) -> dict[str, object]:
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
                f"{no_better(choice.gap)}. That is a proof about the sums, not about the years to come; the figures "
                "below ask how the plan fares in years it has not seen."
            )
        )
        charts = {chart.name: chart for chart in department_charts(orchard, "choice")}
        tables = [found for found in department_tables(orchard, "choice") if "rivals" in found.charts]
        if not tables:
            blocks.append(text("The plan was not tried on years it had not seen."))
        for found in tables:
            blocks += [
                chart_block(charts[key], drawings, charts[key].title) for key in found.charts if key in charts
            ]
            blocks.append(table(replace(found, title="")))
    if place is not None:
        blocks.append(
            text(
                f"Dates: a bloom date is right to about {place.bloom_error_days:.0f} days, a harvest date to about "
                f"{place.harvest_error_days:.0f} (root mean square over all cultivars: the model's error in years left "
                "out of its fit, the place's, and that of each cultivar's listed dates together). Three years of your "
                "own dates in records/bloom.csv make both better."
            )
        )
    beside = [
        listed
        for department in ("years", "ledger")
        for listed in department_tables(orchard, department)
        if listed.stands_in is StandsIn.SURENESS and listed.rows
    ]
    blocks.append(text(MEASURE_IT))
    titles = ", ".join(listed.title[:1].lower() + listed.title[1:] for listed in beside)
    return {
        "more": "" if full else more("sureness", titles),
        "ideas": [{"title": "This plan in years it has not seen", "blocks": blocks}],
        "blocks": [table(listed) for listed in beside] if full else [],
    }


def more(part: str, titles: str) -> str:
    """Where the tables stand that a part of the book for reading leaves out; empty where it leaves out none."""
    return f"Printed alone (topwire book FOLDER --part {part}) this part adds: {titles}." if titles else ""


def assumptions(orchard: Orchard) -> dict[str, object]:
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
        notices(all_told(told, reader), Severity.ASSUMPTION, title=PARTS.get(name, "Reading the inputs"))
        for name, told in groups.items()
    ]
    told = [block for block in found if block["items"]]
    return {"blocks": blocks + (told or [text("No department reported one.")]), "columns": 2 if told else 1}


def sources(orchard: Orchard) -> dict[str, object]:
    """The sources this plan's notices, bills and comparisons cite, and where the weather comes from."""
    files = ", ".join(orchard.origin.weather_files)
    cites = [[source.key, source.citation, source.where, source.mark] for source in cited(orchard)]
    credit = " ".join(orchard.origin.weather_credits)
    weather = credit and f"The weather years are those of {files}. {credit}"
    weather = weather or (
        f"The weather years are those of {files}. Daily records of the Global Historical Climatology Network "
        "(GHCN-Daily) of the United States National Oceanic and Atmospheric Administration, which the shipped examples "
        "use, are in the public domain in the United States (Menne and others, doi:10.7289/V5D21VHZ); the orchard's "
        "weather folder says where this record comes from."
    )
    return {"blocks": [text(weather), text(MARKS), {"kind": "references", "items": cites}]}
