"""Words of the Ground department."""

from collections.abc import Mapping

from topwire.layout.findings import GroundBlock, RowRule
from topwire.layout.spacing import LIGHT_WANTED
from topwire.tell.reader import Reader
from topwire.tell.words import Facts, Speech, Words
from topwire.values.units import Kind

RULES: Mapping[RowRule, str] = {
    RowRule.TAKEN: "taken",
    RowRule.MACHINE: "the least the machine passes",
    RowRule.HEIGHT: "as wide as the trees are high, common practice",
    RowRule.TIGHT: "tight: clear alley 0.9 times the height",
    RowRule.ROOMY: "roomy: 1.3 times the height, 1.5 for rows running east-west",
}


def spacing_words(block: GroundBlock, reader: Reader) -> str:
    """Why trees and rows of a block stand as far apart as they do."""
    why = block.spacing

    def length(metres: float) -> str:
        return reader.text(metres, Kind.LENGTH, 1)

    trees = f"{length(block.tree_spacing)} between trees"
    said = [
        f"{trees}, as stated"
        if why.tree_stated
        else f"{trees} for {why.rootstock} ({why.stock_class} class) under a scion of medium vigour, trained as "
        f"{why.training}"
    ]
    if block.along_fence:
        return "; ".join([*said, "a single row, no alley"])
    rows = f"{length(block.row_spacing)} between rows"
    if why.row_stated:
        said.append(f"{rows}, as stated")
    else:
        said.append(
            f"{rows}: of {length(why.row_from)} to {length(why.row_to)} the one whose wall, taken as opaque, catches "
            f"nearest {LIGHT_WANTED:.0%} of the season's light and lets the machine pass"
        )
    said.append(
        f"published rules for a wall of {length(why.wall_height)} give {length(why.tight)} (tight) and "
        f"{length(why.roomy)} (roomy)"
    )
    return "; ".join(said)


def _near(says: str, remedy: str) -> Words:
    return Words(f"{{concerns}}: {says} near {{east:.1}} east, {{north:.1}} north.", remedy)


_ORDER = "Give its corners in the order they are walked."
_LOOK = "Look at the map and redraw the outline if this is not meant."
_MEND = "Mend the outline."


def _fence_side(facts: Facts) -> Words:
    """Verdict first, then what the crop rests on."""
    through = ", and through the fence from the other side" if facts["through"] else ""
    taken = "" if facts["stated"] else " (the sunnier one; state fence.side)"
    light = (
        "an upright [square metre|square foot] there gets {light:.0%} of the light on open ground from April to "
        "September (spring {spring:.0%}, September {autumn:.0%}) and {hours:.0f} hours of sun on a clear day in June"
    )
    rests = f"The crop rests on that light{through} and on the height of the leaves, on no row spacing."
    if facts["dark"]:
        return Words(
            f"{{concerns}}: the {{side}} side is too dark for good apples: {light}. Fruit stays small and green there. "
            f"{rests}",
            "Plant on the other side, where the fence belongs to you or a neighbour agrees; else plant cooking apples "
            "and expect little.",
        )
    return Words(f"{{concerns}}: the trees look {{side}}{taken}; {light}. {rests}")


WORDS: Mapping[str, Speech] = {
    "ground.fence_side": _fence_side,
    "ground.fence_low": Words(
        "{concerns}: the fence is {fence} high and the top wire {wire}; leaves are reckoned to a hand above the fence.",
        "Lower the top wires to the fence’s height, or carry them on posts of their own.",
    ),
    "ground.outline_not_numbers": Words("{concerns}: a corner is not a number.", _MEND),
    "ground.outline_few_corners": Words(
        "{concerns}: an outline needs three corners that differ; {corners} given.", _MEND
    ),
    "ground.outline_crosses": _near("the outline crosses itself", _ORDER),
    "ground.outline_unclean": _near("the outline is not one clean ring", _MEND),
    "ground.outline_crossing_mended": _near(
        "the outline crosses itself, and the ground on both sides of the crossing is used,", _LOOK
    ),
    "ground.outline_parts_joined": Words("{concerns}: parts that touch or overlap were joined.", _LOOK),
    "ground.outline_sliver": Words(
        "{concerns}: a part of {area} is too small or too narrow for a tree and was left out.", _LOOK
    ),
    "ground.outline_no_ground": Words(
        "{concerns}: the outline encloses no ground a tree could stand on (at least [1 m²|11 ft²] is needed).",
        _MEND,
    ),
    "ground.outline_no_object": Words("{concerns}: the outline is not a GeoJSON object.", _MEND),
    "ground.outline_units": Words(
        "{concerns}: units “{units}” are not read.", 'Write "units": "metres" or leave it out.'
    ),
    "ground.outline_no_polygon": Words("{concerns}: there is no Polygon or MultiPolygon in the file.", _MEND),
    "ground.outline_left_out": Words(
        "{concerns}: a polygon with fewer than three corners that differ was left out.", _LOOK
    ),
    "ground.outline_coordinates": Words(
        "{concerns}: the coordinates of a {type} are not a list of rings of [longitude, latitude].", _MEND
    ),
    "ground.outline_no_type": Words("{concerns}: “{type}” is no GeoJSON type.", _MEND),
    "ground.outline_not_degrees": Words(
        "{concerns}: the coordinates are no degrees of longitude and latitude.",
        'If they are metres east and north of the place, add "units": "metres" at the top of the file.',
    ),
    "ground.outline_swapped": Words(
        "{concerns}: longitude and latitude are the wrong way round.", "GeoJSON puts longitude first."
    ),
    "ground.outline_far_away": Words(
        "{concerns}: the outline lies {away} from the place's latitude and longitude; one of the two is wrong.",
        "GeoJSON puts longitude first; west is negative.",
    ),
    "ground.drawn_beside": Words(
        "no place on the map is stated for the rectangle {concerns}: it is drawn beside the other blocks.",
        "Give corners or an outline to have distances between blocks right.",
    ),
    "ground.overlap": Words(
        "{area} of {concerns} lie in block {other} too and are left to that one.",
        "Correct the corners of one of the two.",
    ),
    "ground.no_row_fits": Words(
        "{concerns}: no row of trees fits between its headlands and margins.",
        "Make the block larger, or headland and margin smaller.",
    ),
    "ground.no_tree_fits": Words(
        "no tree fits on any block.",
        "Make the blocks larger, or the headland deeper: where no anchor fits behind a row, braces take trees’ places.",
    ),
    "ground.too_many_trees": Words(
        "{concerns}: its outlines enclose ground for about {trees:,} trees; up to {most:,} are planned.",
        "Make it smaller, or plan it in parts.",
    ),
    "ground.trees_displaced": Words(
        "what stands surveyed in {concerns} ({trees:tree|trees}, from {first}) lies {away} from where the plan now "
        "puts the addresses, which are to the {towards}: rows, gate, headland or spacing are no longer those of the "
        "planting.",
        "State row_bearing, row_spacing, tree_spacing, headland, margin and gate as they were when these trees were "
        "planted; or, where the places in planted.csv are wrong, take its longitude and latitude out.",
    ),
    "ground.no_such_place": lambda facts: Words(
        "{trees} standing tree"
        + ("s" if facts["trees"] != 1 else "")
        + " of {concerns} find no place on the fitted ground.",
        "State row_spacing, tree_spacing and row_bearing of the block as it is planted, or correct the list.",
    ),
    "ground.standing_on_choice": Words(
        "trees stand on {concerns} already, but {left_open} of the block is left open: their places follow from what "
        "was chosen.",
        "State it as the block was planted, then addresses keep their places.",
    ),
    "ground.bearing_taken": Words(
        "the bearing of {concerns} is not stated; it is laid along {bearing}, the best for light and slope.",
        "State row_bearing if the ground lies otherwise.",
    ),
    "ground.narrow_alley": Words(
        "{concerns}: the alley is {alley} clear of leaves, too narrow for a machine of {machine} with room beside it.",
        "Widen row_spacing or use a narrower machine.",
    ),
    "ground.dark_base": Words(
        "{concerns}: the wall is {ratio:.1f} times as high as its alley is wide: its lower part will be dark.",
        "Widen row_spacing or lower the top wire.",
    ),
    "ground.light_on_grass": Words(
        "{concerns}: the wall is {ratio:.1f} times as high as its alley is wide: light falls on grass."
    ),
    "ground.light_not_reached": Words(
        "{concerns}: the leaves of full-grown trees catch {caught:.0%} of the season's light; full yields are "
        "published at {wanted:.0%} and more, which this wall does not reach.",
        "Closer rows or a higher top wire catch more, and their lowest leaves get less; the sheet of other row "
        "spacings says how much.",
    ),
    "ground.steep_rows": Words(
        "{concerns}: rows climb {climb}; wheel tracks up and down a slope wash out.",
        "Rows along the contour run at {contour}.",
    ),
    "ground.tilted_alleys": Words(
        "{concerns}: alleys tilt {tilt} sideways; tractors and platforms can roll over above 10 to 12 %.",
        "Ask the makers of your machines what side slope they allow, and drive no platform here before.",
    ),
    "ground.long_rows": Words(
        "{concerns}: rows are up to {longest} long; wires run no farther than [150 m|490 ft] between ends, and trees "
        "where two lengths meet have no room. With a cross alley (ground.blocks.cross_alleys) none is planned there, "
        "and ways are shorter."
    ),
    "ground.short_headland": Words(
        "{concerns}: the headland is {headland}; a narrow tractor with sprayer turns in about [6 to 8 m|20 to 26 ft], "
        "and an anchor takes up to [3 m|10 ft] beyond the end post."
    ),
    "ground.even_slope": lambda facts: Words(
        ("" if facts["surface"] else "each block is one even slope; ")
        + "the leaf wall is taken {height} high, from {lowest} above the ground, and opaque when bearings are "
        "compared.",
        "" if facts["surface"] else "Give ground.heights where the ground is no plane.",
    ),
    "ground.surface": Words(
        "between the {points} height points the ground is taken as the smooth surface that bends least; light and wind "
        "take each block's mean slope, water and wires each row as even between its ends.",
        "Measure a point wherever the fall changes: a hollow or a bank between points is not seen.",
    ),
    "ground.hollow_under_wires": Words(
        "{concerns}: the ground dips up to {depth} below the line between the row's ends; tight wires would lift the "
        "line posts there, and the drip line is deepest there.",
        "Have posts in the dip held down (deeper, or with an anchor), fasten wires so that they follow the ground, and "
        "put the drip line's drain there.",
    ),
    "ground.cold_hollow": Words(
        "{concerns}: {places:place|places} in a hollow that cold air does not leave, up to {depth} deep ({worst}).",
        "Open its rim downhill, keep hedges and banks out of the way of the air, or leave it without trees. The layout "
        "puts there what frost hurts least.",
    ),
    "ground.half_diffuse": Words(
        "half of the season's light is taken as direct, half as from the sky.",
        "Sunnier places lose more by rows that do not run north-south.",
    ),
    "ground.heights_by_block": Words(
        "heights are counted from each block's first corner, not between blocks."
    ),
    "ground.fence": Words(
        "a deer fence around the blocks is {length} long; woven wire [2.4 m|8 ft] high keeps deer out."
    ),
}
