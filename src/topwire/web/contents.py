"""The pages: which question each answers, what it is drawn from, and what it says while there is nothing yet."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Page:
    """One page of the orchard.

    Attributes
    ----------
    name : in the address
    asks : the question it answers
    departments : whose sheets, charts and notices stand on it
    settings : parts of the plan that decide it
    will_hold, from_what, next_step : what an empty page teaches
    """

    name: str
    title: str
    asks: str
    departments: tuple[str, ...]
    settings: tuple[str, ...]
    will_hold: str
    from_what: str
    next_step: str = "Work out the plan."


PAGES = (
    Page("place", "Place", "What will this spot do to apples?", ("place", "learning"), ("place", "weather"),
         "When apples bloom here and when the last frost comes, year by year, today and in a warmer climate.",
         "your coordinates and a record of daily weather"),
    Page("choice", "Choice", "Who is on the plate when?", ("choice",), ("kitchen", "taste"),
         "The kitchen’s year, week by week: what is wanted, and which cultivar brings it from tree or cellar.",
         "your guests, your dishes and the place’s weather years"),
    Page("press", "Press", "What runs from the press, and when?", ("press",), ("kitchen",),
         "Litres by style, press weeks with their lots, tanks and when each is full, what it is worth.",
         "the cider and juice you ask for, the fruit chosen and the place’s weather years"),
    Page("ground", "Ground", "Where does each tree stand?", ("ground", "layout"), ("ground", "trees"),
         "The map of blocks, rows and trees, with pollen and picking thought of.",
         "your ground and the cultivars chosen for it"),
    Page("trellis", "Trellis", "What will stand, and what will it cost?", ("trellis",), ("trellis", "place"),
         "Posts, wires and anchors of every row, what gives first in a storm, and the list of what to buy.",
         "the rows, the wind of the place and the soil"),
    Page("water", "Water", "When does which valve open?", ("water",), ("water",),
         "What the trees drink week by week, the zones, pipes and emitters.",
         "the rows, your source of water and the place’s weather years"),
    Page("soil", "Soil", "What does the ground need first?", ("soil",), ("place",),
         "Soil test, lime, covers with their weeks, feeding by leaf, and the bill.",
         "your soil test, the place’s frosts and the trees"),
    Page("nursery", "Nursery", "What do I cut, graft and buy, and when?", ("nursery",), ("nursery",),
         "Grafts, rootstocks and budwood, with the dates of each step.",
         "the cultivars chosen, what your hands can do, and the planting autumn"),
    Page("years", "Years", "When does it become a wall?", ("years",), ("years", "trees"),
         "How the trees climb to the top wire, and the crop from the first apples to full bearing.",
         "the cultivars, the rootstock and the place"),
    Page("season", "Season", "What now?", (), (),
         "This week’s stages, dangers and jobs by row, and the four weeks ahead.",
         "the plan, this year’s weather so far and a forecast",
         "Work out the plan; topwire weather brings this year’s weather and a forecast."),
    Page("cellar", "Cellar", "What must be eaten first?", (), (),
         "Every lot in the cellar, how much is left and how long it keeps.",
         "the picks you note in the season",
         "Note the first pick under Records; until then Choice shows what will lie there."),
    Page("ledger", "Ledger", "How many hours, how much money?", ("ledger",), ("money",),
         "Cash year by year, the hours of each week, and the weeks with too few hands.",
         "everything planned, your wage and your prices"),
    Page("records", "Records", "What happened?", (), (),
         "A diary of the orchard, and the life of one tree.",
         "what you note: bloom, picks, losses, jobs done",
         "Write the first note."),
)  # fmt: skip
BY_NAME = {page.name: page for page in PAGES}
