"""Names of the trellis' parts, states and cases, so that no sum hangs on how a word is spelled."""

from enum import StrEnum


class EndKind(StrEnum):
    """A way to hold the wires at the end of a row."""

    TIE_BACK = "tie_back"  # leaning post, guy and anchor
    H_BRACE = "h_brace"  # two posts, a rail and a brace wire
    DIAGONAL = "diagonal"  # post and a strut in the row


class TrellisPart(StrEnum):
    """What can give in a storm."""

    POSTS_BREAK = "posts_break"
    POSTS_TIP = "posts_tip"  # line posts push over in the soil
    WIRE_HALF = "wire_half"  # a wire passes half its breaking load: a warning, not a failure
    WIRE_BREAKS = "wire_breaks"  # at its connectors
    END_ANCHOR = "end_anchor"  # pulls out
    END_GRIP = "end_grip"  # a braced end is pulled up, or its brace gives
    END_POST = "end_post"


class Side(StrEnum):
    """An end of a row."""

    NEAR = "near"  # where counting starts
    FAR = "far"


class RowLoad(StrEnum):
    """What hangs on the trees."""

    CROPPED = "cropped"  # full crop
    LEAFED = "leafed"  # after harvest, leaves on


class SoilWater(StrEnum):
    SOAKED = "soaked"
    DRAINED = "drained"


class CaseName(StrEnum):
    """The load cases a whole row is taken through."""

    STILL = "still"
    ACROSS = "across"
    ALONG = "along"
    HARVESTED = "harvested"
    SNOW = "snow"
    ICE = "ice"
    HOT = "hot"
    LOST_POST = "lost_post"
    LOST_WIRE = "lost_wire"
    TOUCH = "touch"
    OBLIQUE = "oblique"
    ICE_WIND = "ice_wind"
    HALF_GROWN = "half_grown"
    HAIL = "hail"
    NET_SNOW = "net_snow"


class BuildStep(StrEnum):
    """Work of building a trellis, in the order it comes."""

    LOCATE = "locate"
    FENCE_POSTS = "fence_posts"
    WALL_JOINTS = "wall_joints"
    WALL_EYES = "wall_eyes"
    FENCE_CURE = "fence_cure"
    FENCE_EYES = "fence_eyes"
    FENCE_WIRES = "fence_wires"
    MARK_OUT = "mark_out"
    TIE_BACKS = "tie_backs"
    BRACED_ENDS = "braced_ends"
    SETTLE = "settle"
    LINE_POSTS = "line_posts"
    LINE_POSTS_FROST = "line_posts_frost"
    LOOK_AGAIN_FENCE = "look_again_fence"  # or wall
    LOOK_AGAIN_FROST = "look_again_frost"
    UNREEL = "unreel"
    TENSION = "tension"
    STAPLE = "staple"
    NET_CAPS = "net_caps"
    PLANT = "plant"
    LOOK_AGAIN = "look_again"


class YardstickKit(StrEnum):
    """A kit of posts that the plan's is held against."""

    USUAL = "usual"  # what the trade sets
    CODE = "code"  # that stands by the building code's own soil


class PartOfCost(StrEnum):
    """What the trellis' money is spent on."""

    LINE_POSTS = "line_posts"  # set, with hire, freight and staples
    ENDS = "ends"
    WIRES = "wires"  # with strainers, sleeves, clips and hangers
    TOOLS = "tools"
    WORK = "work"


class PublishedCost(StrEnum):
    """What somebody has published of a trellis' cost."""

    METAL_BY_AREA = "metal_by_area"
    METAL_BY_TREE = "metal_by_tree"
    VINE_WOOD = "vine_wood"
    VINE_METAL = "vine_metal"
    BRACED_END = "braced_end"


BY_AREA = (PublishedCost.METAL_BY_AREA, PublishedCost.VINE_WOOD, PublishedCost.VINE_METAL)


class WindForm(StrEnum):
    """Where the design wind comes from."""

    GUST = "gust"  # stated three-second gust of 50 years
    MEAN = "mean"  # stated ten-minute mean of 50 years
    ASSUMED = "assumed"  # nobody has stated one


class FenceCure(StrEnum):
    """What lets the end posts of a standing fence bear the wires' pull."""

    NONE = "none"
    SPRINGS = "springs"  # slack wires, a spring on each
    STRUTS = "struts"  # a strut under each end post
    SPRINGS_AND_STRUTS = "springs_and_struts"
    OWN_POSTS = "own_posts"  # nothing of these is enough: a trellis of its own


class Lack(StrEnum):
    """Why a row of the catalogue cannot be designed with."""

    PRICE = "price"
    SIZE = "size"
    STRENGTH = "strength"
    STIFFNESS = "stiffness"
    BREAKING_LOAD = "breaking_load"
    MODULUS = "modulus"
    CAPACITY = "capacity"
    SOFT = "soft"  # low-carbon wire
