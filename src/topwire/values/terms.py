"""Words a plan and the catalogue choose from; what they mean is in docs/plan.md."""

from enum import StrEnum

GARDEN = 30  # new trees up to which a plan is reckoned and told as a garden's: common practice, no source
MOST_TREES = 30_000  # trees planned in one orchard; the plans this was made for have up to 3,000


class Exposure(StrEnum):
    """The ground upwind, which sets how strong the wind arrives."""

    SHELTERED = "sheltered"  # woods or houses upwind for half a mile
    OPEN_COUNTRY = "open country"
    OPEN_WATER = "open water"  # lake or sea shore, flat for miles


class Texture(StrEnum):
    """Soil texture, United States Department of Agriculture classes."""

    SAND = "sand"
    LOAMY_SAND = "loamy sand"
    SANDY_LOAM = "sandy loam"
    LOAM = "loam"
    SILT_LOAM = "silt loam"
    SILT = "silt"
    SANDY_CLAY_LOAM = "sandy clay loam"
    CLAY_LOAM = "clay loam"
    SILTY_CLAY_LOAM = "silty clay loam"
    SANDY_CLAY = "sandy clay"
    SILTY_CLAY = "silty clay"
    CLAY = "clay"


class Fertility(StrEnum):
    POOR = "poor"
    MEDIUM = "medium"
    FERTILE = "fertile"


class Use(StrEnum):
    """What an apple is for. The catalogue says which cultivar serves which."""

    FRESH = "fresh"
    SAUCE = "sauce"
    PIE = "pie"
    BAKED = "baked"
    DRIED = "dried"
    BUTTER = "butter"
    JUICE = "juice"
    CIDER = "cider"


class CiderClass(StrEnum):
    """The cider maker's classes by acid and tannin (Long Ashton scheme)."""

    SWEET = "sweet"
    SHARP = "sharp"
    BITTERSWEET = "bittersweet"
    BITTERSHARP = "bittersharp"


class CiderStyle(StrEnum):
    """What a cider maker makes of the juice, stated in litres."""

    STILL_DRY = "still dry"
    BOTTLE_CONDITIONED = "bottle conditioned"
    KEEVED_SWEET = "keeved sweet"  # or otherwise stopped before it is dry
    HOUSE_BLEND = "house blend"
    VINEGAR = "vinegar"


class PressKind(StrEnum):
    """How the milled fruit is pressed: what it gives stands in press_yields.csv."""

    BASKET = "basket"
    RACK_AND_CLOTH = "rack and cloth"
    WATER_BLADDER = "water bladder"
    BELT = "belt"


class Tannin(StrEnum):
    """How a cultivar's tannin tastes."""

    SOFT = "soft"
    MIXED = "mixed"
    HARD = "hard"


class Blended(StrEnum):
    """What is mixed from several cultivars, each kind with bounds of its own (blend_bounds.csv)."""

    TABLE_JUICE = "table juice"  # drunk fresh or heated, at table
    SWEET_CIDER = "sweet cider"  # unfermented, with a little bitter fruit as seasoning
    HOUSE_CIDER = "house cider"  # fermented, of all classes
    STILL_DRY = "still dry cider"
    BOTTLE_CONDITIONED = "bottle conditioned cider"
    KEEVED_SWEET = "keeved sweet cider"
    VINEGAR = "cider for vinegar"
    SWEET_LOT = "sweet cider fruit"  # of one class, to be blended in the cellar
    SHARP_LOT = "sharp cider fruit"
    BITTERSWEET_LOT = "bittersweet cider fruit"
    BITTERSHARP_LOT = "bittersharp cider fruit"
    SAUCE = "sauce"
    BUTTER = "butter"


class Pan(StrEnum):
    """What fruit does when it is cooked."""

    HOLDS = "holds"
    SOFTENS = "softens"
    FALLS = "falls"


class Risk(StrEnum):
    """How the years count beside each other."""

    CAREFUL = "careful"  # the worst fifth more
    EVEN = "even"


class Habit(StrEnum):
    """Ways of growing a grower may not want."""

    TIP_BEARERS = "tip bearers"  # wholly or partly: they lose fruit buds to pruning
    TRIPLOIDS = "triploids"  # give no useful pollen, and want two other donors
    WEAK_GROWERS = "weak growers"  # fill their space late or never


class Resistance(StrEnum):
    ANY = "any"
    SOME = "some"  # very susceptible cultivars count against the choice
    STRONG = "strong"  # susceptible ones are left out unless they must be there


class SoldIn(StrEnum):
    HERE = "here"  # where the orchard is: known of Europe alone
    ANYWHERE = "anywhere"


class Training(StrEnum):
    TALL_SPINDLE = "tall spindle"
    SUPER_SPINDLE = "super spindle"
    VERTICAL_AXIS = "vertical axis"
    TWO_LEADER = "two leader"
    ESPALIER = "espalier"  # level arms in tiers, one to a wire
    FAN = "fan"
    OBLIQUE_CORDON = "oblique cordon"


class Compass(StrEnum):
    """The eight points, clockwise from north."""

    NORTH = "north"
    NORTH_EAST = "north-east"
    EAST = "east"
    SOUTH_EAST = "south-east"
    SOUTH = "south"
    SOUTH_WEST = "south-west"
    WEST = "west"
    NORTH_WEST = "north-west"

    @property
    def bearing(self) -> float:
        """Degrees from north."""
        return 45.0 * tuple(Compass).index(self)


def compass(bearing: float) -> Compass:
    """The point nearest to a bearing [deg from north]."""
    return tuple(Compass)[int(((bearing % 360.0) + 22.5) // 45.0) % 8]


class FenceKind(StrEnum):
    """How much light and wind a fence lets through."""

    OPEN = "open"  # wire, mesh, rails
    SLATTED = "slatted"  # about half open
    SOLID = "solid"  # boards on posts
    WALL = "wall"  # brick, stone or concrete: eyes go into it wherever they are wanted


class FenceColour(StrEnum):
    PALE = "pale"
    BRICK = "brick"
    DARK = "dark"


class FenceShade(StrEnum):
    """When a house, trees or a hill keep the sun away."""

    NONE = "none"
    MORNING = "morning"
    MIDDAY = "midday"
    AFTERNOON = "afternoon"
    MOST = "most of the day"


class EndAssembly(StrEnum):
    CHOOSE = "choose"
    TIE_BACK = "tie-back"
    H_BRACE = "h-brace"
    DIAGONAL = "diagonal brace"
    LONG_DIAGONAL = "long diagonal brace"


class Net(StrEnum):
    """Drawn over each row and hung on its top wire."""

    NONE = "none"
    BIRD = "bird"
    HAIL = "hail"


class Hill(StrEnum):
    """A rise in open ground that speeds the wind up."""

    RIDGE = "ridge"
    ESCARPMENT = "escarpment"
    HILL = "hill"


class WaterSource(StrEnum):
    WELL = "well"
    POND = "pond"
    STREAM = "stream"
    DRINKING_WATER = "drinking water"


class Animal(StrEnum):
    """What comes to the trees here."""

    DEER = "deer"
    VOLES = "voles"
    RABBITS = "rabbits"
    BIRDS = "birds"
    BEARS = "bears"


class Skill(StrEnum):
    BEGINNER = "beginner"
    PRACTISED = "practised"
    PROFESSIONAL = "professional"
