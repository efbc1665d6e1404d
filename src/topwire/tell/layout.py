"""Words of the Planting."""

from collections.abc import Mapping

from topwire.layout.findings import Layout
from topwire.layout.staking import EndPost, Purpose, StakingSheet
from topwire.tell.reader import Reader
from topwire.tell.words import Facts, Speech, Words
from topwire.values.units import Kind

LEVEL = 0.1  # [m] height differences below it are not told

# What a planting costs, by the name of the term.
TERMS: Mapping[str, str] = {
    "walk": "walking from the gate through the rows with ripe fruit",
    "pollen": "crop lost, and donor branches brought, where pollen or a second donor is missing",
    "frost": "crop lost to frost by early bloomers on low ground",
    "trellis": "rows begun and places built on that could have been spared",
    "runs": "stumps of runs, and cultivars in more than one place",
    "care": "setting sprayer and thinning anew between unlike neighbours",
    "story": "heritage cultivars out of the order of their years",
    "gate": "guests' favourites far from the gate",
    "moved": "trees that stand elsewhere than in the last layout",
    "room": "strong pairs cut back in close rows, weak ones that leave ground idle in wide rows",
}

PURPOSES: Mapping[Purpose, str] = {
    Purpose.LENGTH: "length of the row, post to post",
    Purpose.ROWS: "from row to row",
    Purpose.DIAGONAL: "diagonal",
}


def opening(layout: Layout, reader: Reader) -> str:
    """What the planting came to, in two sentences that were measured."""
    there = layout.cultivar >= 0
    if not there.any():
        return "Nothing is planted."
    enough = int((layout.pollen[there] >= 1.0).sum())
    walks = layout.walks
    beside = walks.here / walks.catalogue_order - 1 if walks.catalogue_order else 0.0
    said = (
        f"Who stands where: {enough:,} of {int(there.sum()):,} trees have enough useful pollen in nine weather years "
        f"of ten; the pickers walk {reader.text(walks.here, Kind.LENGTH, 0)} a season"
    )
    if abs(beside) >= 0.005:
        said += (
            f", {abs(beside):.0%} {'more' if beside > 0 else 'less'} than if planted in the catalogue's order"
        )
    said += ". "
    chance = layout.pollen_chance[there]
    said += (
        f"That takes bloom dates and alleles as listed; drawn within what is known of them, a tree has enough in "
        f"{float(chance.mean()):.0%} of cases in the mean, and the weakest in {float(chance.min()):.0%}. "
    )
    if abs(layout.early_above) >= LEVEL:
        height = reader.text(abs(layout.early_above), Kind.LENGTH, 1)
        said += (
            f"The fifth of the trees that flowers first stands {height} "
            f"{'higher' if layout.early_above > 0 else 'lower'} than the mean of its blocks. "
        )
    return said + "A tree's address is block, row and place."


def post_words(post: EndPost) -> str:
    """ "row 3 start"."""
    return f"row {post.row} {post.end}"


def square_words(sheet: StakingSheet) -> str:
    """How the square of a block is checked."""
    if len(sheet.stakes) <= 2:
        return "A single row: stretch the line from post to post."
    return "Both diagonals are given; when they and the lengths measure as here, the rows lie as planned."


def _moved(facts: Facts) -> Words:
    if not facts["moved"] and not facts["new"]:
        return Words("every tree stands where it stood in the last layout.")
    new = "; {new:place is|places are} planted that {new:~was|were} empty" if facts["new"] else ""
    return Words(
        "against the last layout {moved} of {trees:tree changes its|trees change their} cultivar" + new + ".",
        "The sheet of moved trees lists them; labels and sheets already out are wrong there and right elsewhere."
        if facts["moved"]
        else "",
    )


def _free(facts: Facts) -> Words:
    return Words(
        "{free} of {of:place stays|places stay} free; a row of new trees is closed at its last one"
        + (", and not built are {whole}." if facts["whole"] else "."),
        "Raise trees.total, or leave them for later plantings"
        + (
            "; on smaller ground the fence is shorter, and less is limed and mown." if facts["whole"] else "."
        ),
    )


def _unsure(facts: Facts) -> Words:
    told = (
        "{trees:tree|trees} ({concerns}) {trees:~has|have} enough pollen in less than {likely:.0%} of springs drawn, "
        "once bloom dates, untested alleles, donors and bees are not taken as sure; the weakest is {worst}, "
        "{cultivar}, with {chance:.0%}."
    )
    if not facts["donor"]:
        return Words(
            told, "No donor beside it helps. Own bloom dates and a genetic test make the figure surer."
        )
    article = "An" if str(facts["donor"])[:1] in "AEIO" else "A"
    what = f"{article} {{donor}} crab" if facts["crab"] else f"{article} {{donor}}"
    where = (
        f"{what} between {{place}} and {{beside}}, kept as a slender pole or grafted as a strong branch into one of "
        "them,"
        if facts["beside"]
        else f"{what} at the free place {{place}}"
    )
    more = (
        "; all {named:.0f} donors of the list “Donors to bring” to {after_all:.0%}"
        if facts["named"] != 1
        else ""
    )
    mended = (
        f"{where} lifts it to {{after:.0%}}{more}. Own bloom dates and a genetic test make the figure surer."
    )
    return Words(told, mended)


def _drawn(facts: Facts) -> Words:
    bees = "that bees fly is taken as so, since no weather is known"
    if facts["bees"]:
        wind = ", with wind below {calm}" if facts["wind"] else ""
        not_wind = (
            ""
            if facts["wind"]
            else "; your weather record has no wind, which can only keep more of them at home"
        )
        bees = (
            f"bees fly in hours of daylight above {{warm}}{wind} without rain, and find all flowers that open where "
            f"the first {{days:day brings|days bring}} {{hours:such hour|such hours}}, in proportion else{not_wind}"
        )
    return Words(
        "the chance of enough pollen is the share of {draws} draws of a spring of the record, of every cultivar's "
        "bloom within its error, of untested S-alleles as often as the catalogue's tested carry them, and of "
        "donors that fail in {fails:.0%} of springs, each by itself (frozen or resting; common practice, no source); "
        + bees
        + "."
    )


def _row_group(facts: Facts) -> Words:
    strong = facts["strong"]
    rows = "row {first:.0f}" if facts["first"] == facts["last"] else "rows {first:.0f} to {last:.0f}"
    return Words(
        f"{{concerns}} on {{block}} want {'more' if strong else 'less'} room than the {{given}} between its trees: "
        f"{rows} with {{apart}} would save about {{saved}} a year "
        + ("of cutting back" if strong else "of crop on idle ground")
        + (", and hold {places:tree|trees} fewer." if strong else ", and hold {places:tree|trees} more."),
        "State it under that block, ground.blocks: row_groups. Left as it is the trees bear all the same.",
    )


WORDS: Mapping[str, Speech] = {
    "layout.moved": _moved,
    "layout.frozen": Words("{places:place|places} {places:~is|are} frozen: what stands there in out/ stays."),
    "layout.frozen_lost": Words(
        "{trees:frozen place loses its|frozen places lose their} tree, since fewer of these cultivars are to be "
        "planted.",
        "Once trees stand copy out/trees.csv to planted.csv: what stands there is kept whatever is chosen.",
    ),
    "layout.frozen_nothing": Words(
        "places are to be frozen, but there is no layout in out/ yet that they could keep.",
        "Plan once, then freeze.",
    ),
    "layout.frozen_unknown": Words(
        "“{concerns}” is frozen and names no block, row or tree of this ground.",
        "Write a block ({blocks}), a row as in “Lane 3”, or a tree as in “Lane 3, tree 12”.",
    ),
    "layout.too_many_trees": Words(
        "{trees:tree is|trees are} to be planted and {free:place is|places are} free; the last ones find no place.",
        "Lower trees.total or enlarge the ground.",
    ),
    "layout.short_of_pollen": Words(
        "{trees:tree|trees} ({concerns}) {trees:~gets|get} less useful pollen than stated in more than one year of "
        "ten; the worst is "
        "{worst} with {share:.0%} of it.",
        "Plant more of a donor that flowers with them, or a flowering crab between them.",
    ),
    "layout.few_donors": Words(
        "{trees:tree|trees} ({concerns}) {trees:~has|have} fewer than two useful donor cultivars in flower at the "
        "same time within {reach}.",
        "Choose another cultivar that flowers then.",
    ),
    "layout.chance_drawn": _drawn,
    "layout.bees": Words(
        "in the worst spring of ten bees find {share:.0%} of the flowers of {concerns}, the least of all ({poor} fit "
        "for flight in its bloom, {middle} in a middle spring), and {best:.0%} of those of the best served.",
        "Bumblebees and mason bees fly in colder, windier weather than honeybees: leave them nesting places.",
    ),
    "layout.pollen_unsure": _unsure,
    "layout.pollen_enough": Words(
        "enough useful pollen is taken as {threshold:.3f} of all pollen about a tree: what the worst tree has beside a "
        "solid donor row in every fourth row that flowers through half of its bloom."
    ),
    "layout.weak_pair": Words(
        "{concerns} on {stock} is a weak pair: about {height} after five seasons, and the top wire is at {top}.",
        "A stronger stock for this cultivar (trees.rootstock_for), or a lower top wire.",
    ),
    "layout.strong_pair": Words(
        "{concerns} on {stock} is a strong pair: it wants about {wanted} in the row and has {given}.",
        "A weaker stock for this cultivar, or more room; expect summer pruning otherwise.",
    ),
    "layout.row_group": _row_group,
    "layout.free_places": _free,
    "layout.rounds": Words(
        "rounds are walked from the gate through all rows with ripe fruit in the middle year, rows in order."
    ),
    "layout.prices": Words(
        "plantings are compared in hours of work a year: {rounds:round|rounds} a week by {crew:.2g} people who walk "
        "{pace} an hour; a full crop of a tree {tree}; a tree short of pollen {bouquet:minute|minutes} for a branch "
        "of donor "
        "bloom and its share of the crop; a row {row}; a cultivar in one more place {part:minute|minutes}; frost "
        "nights "
        "{cold} milder for each [10 m|33 ft] up a slope; heritage in the order of its years {story}, guests' "
        "favourites at the gate {gate}.",
        "All but wage, hands and crop are common practice, no source.",
    ),
}
