"""Words of the Trellis about the ground it takes: room of braces and anchors, and a fence that stands already."""

from collections.abc import Mapping

from topwire.tell.reader import Reader
from topwire.tell.row_names import rows_of
from topwire.tell.words import Facts, Speech, Words
from topwire.trellis.kinds import FenceCure
from topwire.trellis.row_findings import EndDetail

CURES: Mapping[FenceCure, str] = {
    FenceCure.NONE: "none needed",
    FenceCure.SPRINGS: "string the wires slack ([200 N|45 lbf]) with a tension spring on each",
    FenceCure.STRUTS: "prop each end post with a strut on the row’s side, from three quarters of the top wire’s height "
    "to a pad between two trees",
    FenceCure.SPRINGS_AND_STRUTS: "string the wires slack ([200 N|45 lbf]) with a tension spring on each, and prop "
    "each end post with a strut on the row’s side",
    FenceCure.OWN_POSTS: "posts of its own for the row, with ends like a trellis (leave along_fence out)",
}


def beside_line(end: EndDetail, reader: Reader) -> str:
    """Where the anchors of an end stand across the row."""
    if end.anchors_apart is None:
        return "in line with the row"
    if end.anchors == 2:
        return f"{reader.tape(end.anchors_apart / 2)} to each side of the row’s line"
    return f"{reader.tape(end.anchors_apart)} apart, evenly to both sides of the row’s line"


def _fence_bears(facts: Facts) -> Words:
    """Verdict first, then what it rests on, then the cure."""
    cure = FenceCure(str(facts["cure"]))
    stated = "" if facts["depth_known"] else " (taken, state trellis.fence_post_depth)"
    ground = f"{{ground:.0%}} of what soaked ground holds at {{stands}}{stated} with a factor of two"
    if "ends" not in facts:
        verdict = (
            "whether the standing fence of {concerns} bears the wires is not known: state trellis.fence_post and "
            "trellis.fence_post_spacing. An end post has to be {thickness} thick; the wires’ pull takes "
            f"{ground}. A post between needs the strength of {{post}}."
        )
    else:
        says = "bears the wires" if facts["bears"] else "does not bear the wires as it stands"
        verdict = (
            f"the standing fence of {{concerns}} {says}"
            ": their pull takes {ends:.0%} of what an end post bears in bending and "
            f"{ground}; wind through the leaves takes {{leaves:.0%}} of a post between (a solid fence takes "
            "{wall:.0%} from the wind anyway)."
        )
    eyes = " Each eye is pulled with {eye}, {eye_share:.0%} of what a screw eye of [10 mm|3/8 in] holds; all wires "
    eyes += "pull {end} along the fence at both ends."
    if cure is FenceCure.NONE:
        remedy = "Put a spade beside an end post to see how deep it stands."
    elif cure is FenceCure.OWN_POSTS:
        remedy = f"Nothing smaller is enough: {CURES[cure]}."
    else:
        pads = ", {near} from the first end post and {far} from the last" if "near" in facts else ""
        remedy = "Cheapest cure, about {cost} in the plan’s money for goods and work (in the bill): "
        remedy += f"{CURES[cure]}{pads}. Without struts an end post would have to stand {{depth}} deep."
    return Words(
        verdict + eyes,
        remedy
        + " Ask whoever built the fence; ask the neighbour if it is shared. Keep [100 mm|4 in] of air between "
        "wall and wire.",
    )


def _wall_bears(facts: Facts) -> Words:
    says = "bear the wires" if facts["bears"] else "do not bear the wires strung taut"
    cure = (
        ""
        if facts["bears"]
        else f"Cheapest cure (in the bill): {CURES[FenceCure.SPRINGS]}; the last eyes then bear {{cured:.0%}} of what "
        "they hold. "
    )
    return Words(
        f"the eyes in the wall of {{concerns}}, one every {{every}}, {says}: the last eye of a wire takes "
        "{ends:.0%} of what it holds in sound brick, and wind in the leaves pulls an eye with {eye}.",
        cure
        + "Try one eye with your weight on a bar before you drill the rest; old soft brick holds less. Ask whose wall "
        "it is.",
    )


SPRING_ROUND = (
    "Each spring after the thaw sight along the tops, loosen the staples and drive back what has risen, staple it anew "
    "and bring the wires back to their tension. A post that rises every year is set again in a bored hole, thick end "
    "down, its frozen part in clean gravel that drains, tamped in layers; so set it holds about a third less than a "
    "driven one."
)


def _rise(facts: Facts) -> str:
    return (
        "Frozen ground still grips a post’s upper part, "
        + ("most in silt and clay that stay wet" if facts["wet"] else "less in sand that drains")
        + ": some rise [a few centimetres|an inch or two] in a hard winter. Grip alone would hold a post {held} deep, "
        "which nobody builds."
    )


def _frost_lifts(facts: Facts) -> Words:
    how = (
        "a driver reaches that"
        if facts["driven"]
        else "deeper than trellis.post_depth says a driver reaches: a longer machine, or bored holes"
    )
    return Words(
        "the ground freezes to {depth} here and {which} stand {stands} deep or more, {below} "
        + ("short of the frost’s depth. " if facts["above"] else "below it, no more. ")
        + _rise(facts),
        f"Where it freezes so deep in most winters, posts of {{longest}} set {{wanted}} deep ({how}; name them under "
        f"trellis.posts); else count on a round each year. {SPRING_ROUND}",
    )


WORDS: Mapping[str, Speech] = {
    "trellis.fence_bears": _fence_bears,
    "trellis.wall_bears": _wall_bears,
    "trellis.places_lost": lambda facts: Words(
        f"{{places:tree place|tree places}} of {rows_of(facts)} {{places:~has|have}} no room, under "
        "the ends’ braces or between two lengths of wire; the table of lost places names them.",
        "Plant those trees elsewhere; a row longer than one length of wire loses none where ground.blocks."
        "cross_alleys parts it.",
    ),
    "trellis.wide_spans": lambda facts: Words(
        f"line posts of {rows_of(facts)} stand {{spacing}} apart, as asked for; beyond {{widest}} they failed in the "
        "field whatever their size.",
        "Leave trellis.post_spacing to be chosen.",
    ),
    "trellis.anchors_in_headland": lambda facts: Words(
        f"the anchors of {rows_of(facts)} stand {{reach}} behind the end posts, and {{room}} are free there: {{left}} "
        f"are left{' to turn in' if facts['turns'] else ', too little to turn a tractor in'}.",
        "Flag the guys; mow round them by hand.",
    ),
    "trellis.anchors_outside": lambda facts: Words(
        f"the anchors of {rows_of(facts)} stand {{reach}} behind the end posts, and {{room}} are free there.",
        "Where that ground is not yours or is driven on, widen ground.headland, or state trellis.near_room and "
        "far_room: braces inside the row are then weighed.",
    ),
    "trellis.frost_lifts": _frost_lifts,
    "trellis.frost_reached": lambda facts: Words(
        "the ground freezes to {depth} here and {which} stand {stands} deep or more, {below} below it, as is usual. "
        + _rise(facts),
        f"Keep water from standing in the row and loose fill from gathering round posts. {SPRING_ROUND}",
    ),
    "trellis.netted": lambda facts: Words(
        ("a hail net" if facts["hail"] else "a bird net")
        + f" hangs over {rows_of(facts)} "
        + ("as long as leaves are up" if facts["hail"] else "while fruit colours")
        + f": its wind and the hail in it are on the posts and the top wire. Of the {facts['side']} rows "
        "{without:.0%} would go over within the plan’s years without it, {chance:.0%} do with it; nobody has measured "
        "a netted row.",
        "Never add a net to a trellis that was sized without one. Before a storm warning take it off or roll it to the "
        "ridge; off before the first snow; shake hail out from the end of a row, nobody under it.",
    ),
    "trellis.pull_test": lambda facts: Words(
        "weighed with your pull test, "
        + " and ".join(
            ["the ground holds {moist:.2f} times (soaked {soaked:.2f} times) what its texture promises"]
            * bool(facts["post"])
            + ["roots hold {roots:.2f} times the planning figure"] * bool(facts["trees"])
        )
        + "; line posts are chosen by that, ends and anchors by the texture still.",
        "Pull more posts and trees, in the weakest ground, and write down their mean.",
    ),
}
