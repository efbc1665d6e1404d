"""What a person who builds a trellis has to be told, each where the risk is."""

from topwire.notices import Notice, assumption, caution, remark

WHERE = "trellis"


def cautions(*, slope: float, top: float, elevation_of_gust: str) -> tuple[Notice, ...]:
    """The standing cautions, and those the site calls for."""
    found = [
        caution(
            WHERE,
            "This is a planning estimate, not engineering.",
            "Guests walk here: have a licensed engineer check it and follow the local code and permit, above all on a "
            "slope, in soft, filled or shallow soil, above 12 ft (3.5 m), with nets, near people or roads, or in "
            "hurricane country. Local wind maps and frost depth overrule the figures here.",
        ),
        caution(
            WHERE,
            "Digging and driving hit what lies in the ground.",
            "Before any hole or post have buried utilities located (in North America call before you dig); find tile "
            "drains and irrigation mains; look up for power lines when handling long posts and wire.",
        ),
        caution(
            WHERE,
            "Wire under tension stores energy and whips when it breaks or slips.",
            "Eye protection and gloves; stand outside the line of the wire and its loop; unreel from a spinning jenny; "
            "never straddle it; cut with the end held; crimps or grips rated for that wire; never above 250 lbf "
            "(1,110 N) a wire when stringing; never pull wire with a tractor.",
            "TENSION-PRACTICE",
        ),
        caution(
            WHERE,
            "Post drivers crush hands and heads.",
            "Two people, hands off the cap, hard hat and ear protection; nobody near a raised weight. Winches and "
            "strainers stay under their rating.",
        ),
        caution(
            WHERE,
            "Ladders tip on soft, sloping ground.",
            "A three-legged orchard ladder or a platform for the top wires; never lean on a wire or a post.",
        ),
        caution(
            WHERE,
            "Treated wood is poisonous as dust and smoke.",
            "Gloves and mask when sawing; never burn offcuts, nor use them near food.",
        ),
        caution(
            WHERE,
            "A knot in a wire loses 25-40 % of its strength.",
            "Use crimp sleeves or rated grips.",
            "KNOTS",
        ),
        caution(
            WHERE,
            "A row that leans says the soil has yielded.",
            "Nobody under or beside it. Inspect after each storm and before each harvest: anchors, guys at the ground "
            "line, staples, lean, sag beyond a thirtieth of the span. Straighten the posts; never tighten wires "
            "against a weak structure.",
            "GFG-101",
        ),
        caution(
            WHERE,
            "A storm on a heavy crop and wet soil is the worst case.",
            "When one is forecast: pick first, stop watering, prop the outer rows.",
            "GFG-2016",
        ),
    ]
    if slope >= 0.1:
        found.append(
            caution(
                WHERE,
                f"The ground falls by {slope * 100:.0f} %: wind speeds up over a crest and posts lean downhill.",
                "The crest of an escarpment is assumed for the wind where trellis.hill states no "
                "other rise; have an engineer see the slope.",
                "ASCE7-16",
            )
        )
    if top > 3.3:
        found.append(
            caution(
                WHERE,
                "A top wire this high belongs to an engineer.",
                "Have the design checked before buying.",
            )
        )
    found += [
        assumption(
            WHERE,
            "The drag of a fruiting wall has not been measured by anyone: 0.3, 0.5 and 0.8 on the whole band of leaves "
            "span crowns in wind tunnels and porous walls of the codes.",
            "Read the gusts as low to high, not as one figure.",
            "VOLLSINGER05",
        ),
        assumption(
            WHERE,
            "Inner rows are taken to be sheltered below 8 ft (2.5 m) only, from wind speeds measured between trees.",
            "",
            "DIERICKX03",
        ),
        assumption(
            WHERE,
            "Soil strength is estimated from texture, soaked ground for the storm. Two answers stand side by side: "
            "the code's allowable load of a post, and the estimated ultimate of a driven short post.",
            "Pull-test one post and one anchor in ten; read the torque of screw anchors. Augered posts hold a third "
            "less.",
            "BROMS64",
        ),
        assumption(
            WHERE,
            "Posts are taken as sold: untested farm posts can be 40 % weaker than the books' poles.",
            "Ask for graded posts; ask the age and ring width of small ones.",
            "AKL-RADIATA",
        ),
        remark(WHERE, elevation_of_gust),
    ]
    return tuple(found)
