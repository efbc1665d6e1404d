"""Words of the Years: notices, jobs of training, advice on thinning."""

from collections.abc import Mapping
from dataclasses import dataclass

from topwire.growth.findings import SetAdvice, TrialFigure, YoungCrop
from topwire.growth.fruit import FruitletsUnusable
from topwire.growth.sugar import SugarYearIs
from topwire.growth.training import TrainingJob
from topwire.growth.whip import TreeStart
from topwire.tell.words import Speech, Words

_STRONGER = (
    "Take a stronger stock for them (trees.rootstock_for), feathered trees (nursery.seasons: 2), or a lower top wire "
    "in their row; strip their flowers a leaf longer."
)
_UNUSABLE: Mapping[FruitletsUnusable, str] = {
    FruitletsUnusable.TOO_FEW: "too few fruitlets are measured to say which will stay.",
    FruitletsUnusable.NONE_GREW: "no fruitlet grew between the two measurements; check the callipers and the dates.",
}

WORDS: Mapping[str, Speech] = {
    "years.no_year": Words(
        "there is no usable weather year to draw crops from.", "Add weather files to the plan."
    ),
    "years.never_at_wire": Words(
        "more often than not the leader never reaches the top wire: {concerns}.", _STRONGER
    ),
    "years.slow_to_wire": Words(
        "the leader needs seven leaves or more to the top wire: {concerns}.", _STRONGER
    ),
    "years.late_flowers": Words("first flowers worth counting come after leaf 4 on their stock: {concerns}."),
    "years.biennial": Words(
        "bear every other year unless thinned by a week after bloom: {concerns}.",
        "Thin them first; the gauge by trunk says how many each may carry.",
    ),
    "years.biennial_cider": Words(
        "cider fruit that bears every other year unless thinned by a week after bloom: {concerns}.",
        "No gauge for it: in a heavy bloom take off whole clusters; else a poor autumn follows, so keep cider over.",
    ),
    "years.mass_unknown": Words("fruit of {concerns} is taken as {mass}: its mass is not known."),
    "years.unusual_crop": Words(
        "full-grown the orchard would carry {crop} of tree ground, outside the {low} to {high} of mixed kitchen "
        "orchards.",
        "Check spacing and stocks before relying on it.",
    ),
    "years.beside_trials": Words(
        "for the trees of {stocks} trial stocks this forecast gives {thinned:.0%} of the crop weighed to leaf 5 when "
        "thinned as advised, {cropped:.0%} when cropped as they were."
    ),
    "years.sugar": Words(
        "in the shortest quarter of {years} weather years ({short}) the thinning window brought {made:.0%} of this "
        "place’s ordinary sugar for what shoots and fruit wanted: more fruit falls by itself then. The parameters are "
        "remembered, so only the years’ order is to be trusted.",
        "When it turns warm and dim after bloom, look at the fruitlets sooner and thin less; when it stays cool and "
        "bright, thin more.",
    ),
    "years.sugar_few_years": lambda facts: Words(
        "{years} weather year"
        + ("" if facts["years"] == 1 else "s")
        + " of sugar in the thinning window are too few to say which is short here.",
        "Add a longer record.",
    ),
    "years.rests_on": Words(
        "the lower of the two published worlds is planned on: about {crop} of tree ground full-grown. Specialists aim "
        "at {goal} (goal curve). Share by leaf, leader growth of {growth} a season and its spread are "
        "proposals fitted to one ten-site trial.",
        "Measure leaders and trunks each autumn.",
    ),
    "years.well_kept": Words(
        "trees are taken to be watered, fed and weeded so that none of it holds them back."
    ),
    "years.whips": Words("home-grafted whips are taken as {height} tall when planted."),
    "years.standing": Words("trees that already stand are not in these figures."),
    "years.fruitlets_unusable": lambda facts: Words(
        "{concerns}: " + _UNUSABLE[FruitletsUnusable(str(facts["why"]))]
    ),
    "years.few_clusters": Words(
        "{concerns}: {clusters} clusters are measured; 25 in all proved too few to trust.",
        "Tag 14 or 15 clusters on each of five trees.",
    ),
}

RULES: Mapping[YoungCrop, str] = {
    YoungCrop.AT_THE_WIRE: "no fruit before the leader is at the top wire",
    YoungCrop.LIGHT_FROM_SECOND_LEAF: "a light crop from leaf 2",
}
TRIAL_FIGURES: Mapping[TrialFigure, str] = {
    TrialFigure.HEIGHT: "height after leaf 5",
    TrialFigure.CROP_IN_LEAF_5: "crop of a tree in leaf 5",
    TrialFigure.CROP_TO_LEAF_5: "crop of a tree in leaves 2 to 5",
}
SET_ADVICE: Mapping[SetAdvice, str] = {
    SetAdvice.COUNT_CLUSTERS: "count clusters on the five trees to turn the share into fruits a tree",
    SetAdvice.THIN_ON: "more would stay than are wanted: thin on, measure again in four days",
    SetAdvice.STOP: "fewer would stay than are wanted: stop thinning",
    SetAdvice.LEAVE: "about as many would stay as are wanted: leave the trees as they are",
}
STARTS: Mapping[TreeStart, str] = {
    TreeStart.WHIP: "whip, one season in the nursery",
    TreeStart.FEATHERED: "feathered tree, a second season there",
}
SUGAR: Mapping[SugarYearIs, str] = {
    SugarYearIs.SHORT: "look sooner, thin less: more falls by itself",
    SugarYearIs.ORDINARY: "thin as usual",
    SugarYearIs.AMPLE: "thin more: fruit holds",
}


@dataclass(frozen=True)
class JobWords:
    when: str
    what: str
    how: str


TRAINING: Mapping[TrainingJob, JobWords] = {
    TrainingJob.SET: JobWords(
        "planting",
        "set the tree",
        "union [15 cm|6 in] above the soil; do not head; take off feathers below [60 cm|24 in] and any thicker than "
        "two thirds of the leader",
    ),
    TrainingJob.SET_WHIP: JobWords(
        "planting",
        "set the whip",
        "union [10-15 cm|4-6 in] above the soil and [2-3 cm|1 in] more for settling; roots longer than [30 cm|12 in] "
        "are cut, soaked 6 to 12 hours, never longer; a sound whip is not headed",
    ),
    TrainingJob.CANE: JobWords(
        "the day it is planted",
        "cane the whip",
        "one cane a tree, tied to every wire it passes and kept until the leader is past the top wire; soft clips, "
        "never wire or cable ties",
    ),
    TrainingJob.CHOOSE_LEADER: JobWords(
        "buds swell",
        "choose the leader",
        "the best bud near the tip; only a weak, bent or frozen whip is cut, to a strong bud [30-40 cm|12-16 in] up",
    ),
    TrainingJob.LOW_SHOOTS: JobWords(
        "June", "take low shoots off", "nothing stays below [46 cm|18 in]; by hand while it is soft"
    ),
    TrainingJob.TIE_TO_WIRES: JobWords(
        "when the leader has passed it by [15-20 cm|6-8 in]",
        "tie to each wire",
        "a figure of eight with [5 cm|2 in] of room; the table of wires says in which leaf and week",
    ),
    TrainingJob.LAGGARDS: JobWords(
        "end of the season",
        "trees that lag",
        "less than [20 cm|8 in] grown: look for dry soil, weeds, voles, aphids, a buried union; in late winter cut "
        "once to a bud [30-40 cm|12-16 in] up; less than [25 cm|10 in] two years running: replace it from the spares",
    ),
    TrainingJob.NOTCH: JobWords(
        "two to four weeks before bloom",
        "notch above buds",
        "on last year’s leader from [75 cm|30 in] up, every second or third bud, a strip of [2 mm|1/16 in] over a "
        "third of the girth: about seven times the shoots; glove on the other hand",
    ),
    TrainingJob.BEND_FEATHERS: JobWords(
        "June and July",
        "bend feathers",
        "straight, never in an arch; the angle by vigour stands in its table; out what is thicker than half the leader",
    ),
    TrainingJob.FREE_LEADER: JobWords(
        "shoots of [8-10 cm|3-4 in]", "free the leader", "rub off the second and third bud below the top one"
    ),
    TrainingJob.TIE_FEATHERS: JobWords(
        "June", "tie feathers down", "every feather longer than [25 cm|10 in] below horizontal"
    ),
    TrainingJob.STRIP_FLOWERS: JobWords("bloom", "strip every flower", "by hand, the leaves stay"),
    TrainingJob.STRIP_BELOW_WIRE: JobWords(
        "bloom",
        "strip flowers of trees below the top wire",
        "only trees whose leader will reach the top wire this season keep fruit, as the table of fruits to leave says",
    ),
    TrainingJob.KEEP_GROWING: JobWords(
        "to the end of July",
        "keep the leader growing",
        "water and nitrogen; [46-61 cm|18-24 in] by the end of July of the first leaf; tie it to each wire it passes",
    ),
    TrainingJob.PINCH: JobWords(
        "laterals of [10-15 cm|4-6 in]",
        "pinch the top quarter",
        "take [5 cm|2 in] off laterals of last year’s leader; again in mid-June",
    ),
    TrainingJob.LEAVE_KNIFE: JobWords("dormant", "leave the knife away", "no heading, no cut on the leader"),
    TrainingJob.FIRST_RENEWAL: JobWords(
        "dormant",
        "first renewal cut",
        "any lateral thicker than half the leader at its base, to a bevelled stub",
    ),
    TrainingJob.RENEWAL: JobWords(
        "dormant", "renewal cuts", "one or two limbs thicker than half the leader, stub cut"
    ),
    TrainingJob.HOLD_HEIGHT: JobWords(
        "dormant",
        "hold the height",
        "cut the leader to a weak side branch [20 cm|8 in] above the wire; never head it bare",
    ),
    TrainingJob.TWO_LIMBS: JobWords(
        "dormant",
        "two limbs a year",
        "the two largest, [2-2.5 cm|3/4 to 1 in] and thicker, stub cut; leave 30-36 laterals",
    ),
    TrainingJob.SET_FLAT: JobWords(
        "planting",
        "set the tree",
        "[15 cm|6 in] off the wall or fence, union above the soil; in early spring cut it [5 cm|2 in] above the lowest "
        "wire to three good buds: one to each side, one upwards",
    ),
    TrainingJob.SET_SLANTED: JobWords(
        "planting",
        "set the tree slanting",
        "at 45° along the wires, all trees the same way, the scion’s side of the union uppermost so that it does not "
        "root; tie it to a cane fixed on the wires; shorten side shoots over [10 cm|4 in] to four buds, never the tip",
    ),
    TrainingJob.FIRST_ARMS: JobWords(
        "May to September",
        "first arms",
        "let three shoots grow: the two sides tied to canes at 45°, the third straight up; rub all others off",
    ),
    TrainingJob.LOWER_ARMS: JobWords(
        "October and November",
        "lower the arms",
        "untie that summer’s two arms and lower them gently to their wire; the weaker one a few weeks later",
    ),
    TrainingJob.NEXT_TIER: JobWords(
        "late winter, then summer",
        "next tier",
        "cut the leader [5 cm|2 in] above the next wire to three buds as in the first year: their shoots are that tier",
    ),
    TrainingJob.LAST_TIER: JobWords(
        "late winter, then summer",
        "last tier",
        "cut at the top wire to two buds, one to each side; no shoot goes on upwards",
    ),
    TrainingJob.LENGTHEN_ARMS: JobWords(
        "late winter",
        "lengthen the arms",
        "tie on what grew; shorten it by a third to a bud on the lower side only where it is weak; stop where the "
        "neighbour’s arm begins",
    ),
    TrainingJob.FIRST_RIBS: JobWords(
        "May to September",
        "first ribs",
        "two shoots, one to each side, tied to canes at 45°; the upright one is cut out once both are [45 cm|18 in] "
        "long",
    ),
    TrainingJob.FORK_RIBS: JobWords(
        "late winter, then summer",
        "fork the ribs",
        "cut each rib back to [45 cm|18 in]; of its shoots keep one to lengthen it, two above and one below, tied like "
        "the ribs of a fan",
    ),
    TrainingJob.FILL_FAN: JobWords(
        "late winter",
        "fill the fan",
        "shorten new ribs by a quarter until the fan is full; keep the middle open longest, for it fills by itself",
    ),
    TrainingJob.LOWER_CORDON: JobWords(
        "winter",
        "lower the cordon",
        "where it is past the top wire, lower the whole row by a few degrees, never below 35°",
    ),
    TrainingJob.STOP_LEADER: JobWords(
        "May",
        "stop the leader",
        "at its full length cut the leader’s new growth back to [1 cm|1/2 in] each May",
    ),
    TrainingJob.SUMMER_PRUNE: JobWords(
        "late July to early September",
        "summer prune",
        "when a shoot is over [23 cm|9 in], its leaves dark and its base woody: from arm or stem to three leaves "
        "beyond the cluster at its base, from a spur to one leaf",
    ),
    TrainingJob.SECOND_GROWTH: JobWords(
        "late September", "second growth", "what grew again after that: to one bud on ripe wood"
    ),
    TrainingJob.THIN_SPURS: JobWords(
        "winter", "thin the spurs", "crowded spurs cut to two or three fat buds, the shaded ones out"
    ),
}
