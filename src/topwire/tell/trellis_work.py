"""Words of the Trellis about the work: what is done in what order, and what can hurt whoever does it."""

from collections.abc import Mapping

from topwire.tell.words import Speech, Words
from topwire.trellis.kinds import BuildStep

_TIED = "with room to grow, in a figure of eight, so that the trunk cannot swing"
STEPS: Mapping[BuildStep, str] = {
    BuildStep.LOCATE: "Have buried utilities, tile drains and mains located and marked; check overhead lines.",
    BuildStep.FENCE_POSTS: "Sound out every post of the fence: a knife at the ground line finds rot, a spade beside an "
    "end post how deep it stands.",
    BuildStep.WALL_JOINTS: "Scratch the wall’s joints with a key: crumbling mortar is mended first. Ask whose wall it "
    "is, and what runs in it.",
    BuildStep.WALL_EYES: "Drill into sound brick or stone, not into joints, with eye protection; set an eye in a plug "
    "made for that wall at each wire’s height, the wire [100 mm|4 in] off the wall.",
    BuildStep.FENCE_CURE: "Do what the table of the fence names as its cure before any wire is strung.",
    BuildStep.FENCE_EYES: "Drill and turn an eye into each post at each wire’s height, the wire [100 mm|4 in] off the "
    "fence.",
    BuildStep.FENCE_WIRES: "Run the wires through the eyes, lowest first; turn the strainers by hand until the gauge "
    "reads what the table says, alike on all.",
    BuildStep.MARK_OUT: "Stretch a line for every row; mark end posts, anchors and line posts midway between trees.",
    BuildStep.TIE_BACKS: "Drive or set the end posts, plumb or leaning away from the row as the ends of those rows are "
    "drawn; turn in or bury the anchors named for those rows, in line with the guys.",
    BuildStep.BRACED_ENDS: "Drive or set the end posts of braced ends; fit rails, struts and brace wires.",
    BuildStep.SETTLE: "Let backfill settle and tamp it in layers; pull-test one anchor in ten before it carries wire.",
    BuildStep.LINE_POSTS: "Drive the line posts, small end down, to the depth stated.",
    BuildStep.LINE_POSTS_FROST: "Drive the line posts, small end down, to the depth stated, below the frost where that "
    "can be reached.",
    BuildStep.UNREEL: "Unreel the low wire and the training wires from a spinning jenny, lowest first, strainers at "
    "one end.",
    BuildStep.TENSION: "Tension every wire to the table for the day’s temperature, both ends braced, then go round "
    "once more.",
    BuildStep.STAPLE: "Staple the wires at every line post: held, not pinched.",
    BuildStep.NET_CAPS: "Cap every post that a net will run over; the net itself goes up when the calendar says.",
    BuildStep.PLANT: f"Plant; tie each leader to every wire it passes, {_TIED}.",
    BuildStep.LOOK_AGAIN: "Check tension, staples and anchors after the first month, before the first crop, and after "
    "every storm.",
    BuildStep.LOOK_AGAIN_FENCE: "Check tension, every eye, and fence or wall at the last eyes (struts too) after the "
    "first month, before the first crop, and after every storm.",
    BuildStep.LOOK_AGAIN_FROST: "Check tension, staples and anchors after the first month, before the first crop, and "
    "after every storm; each spring after the thaw drive back the posts that frost has lifted.",
}

WORDS: Mapping[str, Speech] = {
    "trellis.no_engineering": Words(
        "this is a planning estimate, not engineering.",
        "Guests walk here: have a licensed engineer check it and follow the local code and permit, above all on a "
        "slope, in soft, filled or shallow soil, above [3.5 m|12 ft], with nets, near people or roads, or in "
        "hurricane country. Local wind maps and frost depth overrule the figures here.",
    ),
    "trellis.digging": Words(
        "digging and driving hit what lies in the ground.",
        "Before any hole or post have buried utilities located (in North America call before you dig); find tile "
        "drains and irrigation mains; look up for power lines when handling long posts and wire.",
    ),
    "trellis.wire_whips": Words(
        "wire under tension stores energy and whips when it breaks or slips.",
        "Eye protection and gloves; stand outside the line of the wire and its loop; unreel from a spinning jenny; "
        "never straddle it; cut with the end held; crimps or grips rated for that wire; never above [1,110 N|250 lbf] "
        "a wire when stringing; never pull wire with a machine.",
    ),
    "trellis.drivers": Words(
        "post drivers crush hands and heads.",
        "Two people, hands off the cap, hard hat and ear protection; nobody near a raised weight. Winches and "
        "strainers stay under their rating.",
    ),
    "trellis.ladders": Words(
        "ladders tip on soft, sloping ground.",
        "A three-legged orchard ladder or a platform for the top wires; never lean on a wire or a post.",
    ),
    "trellis.treated_wood": Words(
        "treated wood is poisonous as dust and smoke.",
        "Gloves and mask when sawing; never burn offcuts, nor use them near food.",
    ),
    "trellis.knots": Words(
        "a knot in a wire loses 25-40 % of its strength.", "Use crimp sleeves or rated grips."
    ),
    "trellis.leaning_row": Words(
        "a row that leans says the soil has yielded.",
        "Nobody under or beside it. Inspect after each storm and before each harvest: anchors, guys at the ground "
        "line, staples, lean, sag beyond a thirtieth of the span. Straighten the posts; never tighten wires against a "
        "weak structure.",
    ),
    "trellis.storm_coming": Words(
        "a storm on a heavy crop and wet soil is the worst case.",
        "When one is forecast: pick first, stop watering, prop the outer rows.",
    ),
    "trellis.steep": Words(
        "the ground falls by {slope}: wind speeds up over a crest and posts lean downhill.",
        "The crest of an escarpment is assumed for the wind where trellis.hill states no other rise; have an engineer "
        "see the slope.",
    ),
    "trellis.high_wire": Words(
        "a top wire this high belongs to an engineer.", "Have the design checked before buying."
    ),
    "trellis.union_first": Words(
        "on {concerns} the union breaks before post or roots give: more posts do not save loosely tied trees.",
        f"Tie the trunk to every wire, {_TIED}; stake at planting.",
    ),
}
