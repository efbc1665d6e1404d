"""Plan sections on where the orchard stands: the place, its weather files, the ground."""

from typing import Annotated, Literal

from pydantic import Field, field_validator, model_validator

from topwire.plan.base import Section
from topwire.plan.fields import Length, Slope, Speed, TemperatureStep
from topwire.plan.soil import Soil as Soil
from topwire.values.plane import spans_ground
from topwire.values.terms import Animal as Animal
from topwire.values.terms import Compass, FenceColour, FenceKind, FenceShade
from topwire.values.terms import Exposure as Exposure
from topwire.values.terms import Fertility as Fertility
from topwire.values.terms import Texture as Texture

UNNAMED = ("crab", "apple")  # trees beyond the orchard whose name nobody knows


class NeighbourTree(Section):
    """A tree beyond the orchard that flowers near enough to give it pollen."""

    tree: str = Field(min_length=1, description="its cultivar; “crab” or “apple” where nobody knows its name")
    distance: Length = Field(ge=0, le=200, description="from your nearest tree")
    sure: float = Field(
        1.0, gt=0, le=1, description="how sure it is that it stands there and stays: 1 seen, 0.5 a guess"
    )


class PlaceSection(Section):
    latitude: float = Field(ge=0, le=66, description="degrees north")
    longitude: float = Field(ge=-180, le=180, description="degrees east; west is negative")
    elevation: Length = Field(ge=-100, le=3000, description="height above the sea")
    exposure: Exposure = Field(Exposure.OPEN_COUNTRY, description="the ground upwind")
    gust: Speed | None = Field(
        None,
        gt=5,
        le=110,
        description="strongest 3-second gust in 50 years at 33 ft (10 m), from the local wind map",
    )
    mean_wind: Speed | None = Field(
        None,
        gt=5,
        le=60,
        description="instead of gust: strongest 10-minute mean wind in 50 years at 10 m, from a Eurocode wind map",
    )
    wind_from: float | None = Field(
        None,
        ge=0,
        lt=360,
        description="degrees from north of where the storms come from, for choosing the rows' way",
    )
    declination: float | None = Field(
        None,
        ge=-90,
        le=90,
        description="degrees a compass needle points east of true north here, west is negative: on a topographic map's "
        "margin with its yearly change, or reckoned by a national survey for place and date",
    )
    colder_than_station: TemperatureStep = Field(
        0.0,
        ge=-5,
        le=8,
        description="how much colder the orchard's clear nights are than the weather station's",
    )
    bloom_stretch: float = Field(
        1.0,
        ge=0.3,
        le=3,
        description="how much wider (above 1) or narrower cultivars spread their bloom here than lists say",
    )
    own_dates_until: int | None = Field(
        None,
        ge=1900,
        le=2200,
        description="last year whose own dates (records/bloom.csv) move the plan's figures; none = they are only shown "
        "beside",
    )
    frost_depth: Length | None = Field(
        None, ge=0, le=3, description="depth to which the ground freezes, from the local code"
    )
    animals: list[Animal] = Field(
        default_factory=lambda: [Animal.DEER, Animal.VOLES, Animal.RABBITS],
        description="what comes to the trees: deer, voles, rabbits, birds that peck fruit, bears",
    )
    neighbours: Annotated[list[NeighbourTree], Field(max_length=12)] = Field(
        default_factory=list,
        description="apple trees and crabs beyond the orchard that give it pollen; each is counted within 66 ft (20 m)",
    )
    soil: Soil = Field(default_factory=lambda: Soil())

    @model_validator(mode="after")
    def _one_wind(self) -> "PlaceSection":
        if self.gust is not None and self.mean_wind is not None:
            raise ValueError(
                "gust and mean_wind are two ways to state one storm; keep the one of your wind map"
            )
        return self

    @field_validator("latitude", mode="before")
    @classmethod
    def _north(cls, value: object) -> object:
        if isinstance(value, (int, float)) and -66 <= value < 0:
            raise ValueError(
                "places south of the equator are not handled yet: all dates are northern; "
                "nothing can be planned for this latitude"
            )
        return value


class Scenario(Section):
    """Another climate, as two series of one climate model: today and later."""

    name: str = Field(min_length=1, max_length=40, description="what to call it, “2050, high emissions”")
    today: Annotated[list[str], Field(min_length=1)] = Field(
        description="weather files of the model's present, eight years or more"
    )
    later: Annotated[list[str], Field(min_length=1)] = Field(
        description="weather files of the model's future, eight years or more"
    )


class WeatherSection(Section):
    files: Annotated[list[str], Field(min_length=1)] = Field(
        default_factory=lambda: ["weather/daily.csv"],
        description="weather files, relative to the orchard's folder; each fills what longer ones miss",
    )
    mornings: str | None = Field(
        None,
        description="file of mornings read off the orchard's own thermometer; they measure place.colder_than_station",
    )
    invented_years: int | None = Field(
        None,
        ge=10,
        le=400,
        description="plan over so many years invented from the record's statistics, where the record is short",
    )
    scenarios: Annotated[list[Scenario], Field(max_length=6)] = Field(
        default_factory=list,
        description="climates from files: the record is shifted by what later has more than today, month by month",
    )
    warming: TemperatureStep = Field(
        2.0, ge=0, le=6, description="the warmer climate shown beside today's, over the orchard's life"
    )


class Rectangle(Section):
    length: Length = Field(gt=2, le=3000, description="along the rows")
    width: Length = Field(gt=0.2, le=3000, description="across the rows")


class Setback(Section):
    name: str = Field(min_length=1, max_length=40, description="what it is: “Road”, “Neighbour”, “Ditch”")
    line: Annotated[list[tuple[Length, Length]], Field(min_length=2, max_length=200)] = Field(
        description="points walked along it, each [east, north] of the first block's first corner, as for the gate"
    )
    distance: Length = Field(gt=0, le=300, description="no trunk stands nearer to the line, on either side")


class GroundPath(Section):
    name: str = Field(min_length=1, max_length=40, description="what it is: “Path to the pond”")
    line: Annotated[list[tuple[Length, Length]], Field(min_length=2, max_length=200)] = Field(
        description="points walked along its middle, each [east, north] of the first block's first corner"
    )
    width: Length = Field(
        gt=0,
        le=50,
        description="kept clear of leaves and of anchors; rows it crosses end before it and begin anew",
    )


class FenceSection(Section):
    side: Compass | None = Field(
        None,
        description="side of the fence the trees stand on and look to: south, west ...; none = the sunnier of its two",
    )
    height: Length | None = Field(
        None, ge=0.5, le=8, description="of the fence or wall; none = as high as the trees"
    )
    kind: FenceKind = Field(
        FenceKind.OPEN,
        description="open (wire, mesh, rails), slatted, solid (boards on posts), or wall (brick, stone, concrete)",
    )
    colour: FenceColour = Field(
        FenceColour.BRICK, description="of a solid one or a wall: pale, brick or dark; pale gives light back"
    )
    shade: FenceShade = Field(
        FenceShade.NONE,
        description="when a house, trees or a hill keep the sun away from May to September: none, morning, midday, "
        "afternoon, most of the day",
    )


class RowGroup(Section):
    rows: tuple[int, int] = Field(description="first and last row of the group, as [7, 9]")
    tree_spacing: Length = Field(gt=0.3, le=8, description="between trees in these rows")

    @field_validator("rows", mode="after")
    @classmethod
    def _order(cls, value: tuple[int, int]) -> tuple[int, int]:
        if not 1 <= value[0] <= value[1]:
            raise ValueError("write the first row and the last, counted from 1: [7, 9]")
        return value


class Block(Section):
    name: str = Field(
        min_length=1, max_length=30, description="as it stands in every address: “South 3, tree 41”"
    )
    rectangle: Rectangle | None = Field(None, description="the plain case: rows run along its length")
    outline: str | None = Field(
        None, description="GeoJSON file with the block's outline, relative to the orchard's folder"
    )
    corners: list[tuple[Length, Length]] | None = Field(
        None, description="corners walked in order, each [east, north] of a fixed point"
    )
    row_bearing: float | Literal["choose"] = Field(
        "choose", description="degrees from north of the direction the rows run (0 = north-south), or choose"
    )
    slope: Slope = Field(0.0, ge=0, le=0.6, description="rise over run, in percent")
    slope_bearing: float = Field(
        180.0, ge=0, lt=360, description="degrees from north of the direction water runs off"
    )
    headland: Length | None = Field(
        None, ge=0, le=30, description="free ground at both row ends; overrides the ground's"
    )
    row_spacing: Length | Literal["choose"] | None = Field(
        None, description="overrides trees.row_spacing here"
    )
    tree_spacing: Length | Literal["choose"] | None = Field(
        None, description="overrides trees.tree_spacing here"
    )
    row_groups: Annotated[list[RowGroup], Field(max_length=20)] = Field(
        default_factory=list,
        description="rows with a distance of their own between trees, for scions much stronger or weaker than the rest",
    )
    cross_alleys: Annotated[list[Length], Field(max_length=20)] = Field(
        default_factory=list,
        description="ways across the rows: how far into the block, along the rows, the middle of each lies from the "
        "side where places are counted from",
    )
    along_fence: bool = Field(False, description="a single row tied to a fence or wall that already stands")
    fence: FenceSection = Field(
        default_factory=FenceSection, description="that fence, where along_fence is true"
    )

    @field_validator("row_bearing", mode="after")
    @classmethod
    def _bearing(cls, value: float | str) -> float | str:
        if isinstance(value, float) and not 0 <= value < 360:
            raise ValueError("a bearing is 0 to 359 degrees from north; 0 and 180 both mean north-south rows")
        return value

    @model_validator(mode="after")
    def _one_shape(self) -> "Block":
        given = [name for name in ("rectangle", "outline", "corners") if getattr(self, name) is not None]
        if len(given) != 1:
            raise ValueError(
                "a block needs exactly one of rectangle, outline, corners; "
                + (f"{', '.join(given)} are given" if given else "none is given")
            )
        return self


class GroundSection(Section):
    blocks: Annotated[list[Block], Field(min_length=1, max_length=40)] = Field(
        description="one or more blocks"
    )
    headland: Length = Field(
        7.0, ge=0, le=30, description="free ground at both row ends, to turn the machine"
    )
    margin: Length = Field(2.0, ge=0, le=30, description="free ground beside the outer rows")
    machine_width: Length = Field(1.6, gt=0, le=4, description="widest machine that drives the alley")
    gate: tuple[Length, Length] | None = Field(
        None, description="the gate, [east, north] of the first block's first corner"
    )
    frozen: list[str] = Field(
        default_factory=list,
        description="blocks, rows or trees whose places keep what stands there in out/: "
        "Meadow, Lane 3, “Lane 4, tree 12”",
    )
    obstacles: str | None = Field(
        None, description="GeoJSON file of ponds, rocks, buildings to keep clear of"
    )

    cross_alley_width: Length = Field(
        4.0, gt=0, le=30, description="clear width of the blocks' cross_alleys, between anchors"
    )
    paths: Annotated[list[GroundPath], Field(max_length=40)] = Field(
        default_factory=list, description="paths and drives through the blocks"
    )
    setbacks: Annotated[list[Setback], Field(max_length=40)] = Field(
        default_factory=list, description="lines that law, a neighbour or water keeps trees away from"
    )
    heights: Annotated[list[tuple[Length, Length, Length]], Field(max_length=500)] = Field(
        default_factory=list,
        description="for ground that is no plane: points [east, north, height], east and north of the first block's "
        "first corner, heights above any one level; three or more, at corners, ridges and hollows. They win over the "
        "blocks' slope",
    )

    @field_validator("heights", mode="after")
    @classmethod
    def _surface(cls, value: list[tuple[float, float, float]]) -> list[tuple[float, float, float]]:
        if value and not spans_ground([(east, north) for east, north, _ in value]):
            raise ValueError("a surface takes three points or more that are not in one line, no two alike")
        return value

    @model_validator(mode="after")
    def _names(self) -> "GroundSection":
        called: dict[str, list[str]] = {}
        for block in self.blocks:
            called.setdefault(block.name.casefold(), []).append(block.name)
        twice = [" and ".join(dict.fromkeys(names)) for names in called.values() if len(names) > 1]
        if twice:  # in a note capitals are not minded: “south 3, tree 41” is of one block
            raise ValueError(
                f"two blocks are called {', '.join(sorted(twice))}; "
                "each needs a name of its own, other by more than capitals"
            )
        return self
