"""The named cases a trellis is taken through, each with the share of a wire's breaking load it may reach."""

from dataclasses import dataclass

from topwire.trellis.kinds import CaseName
from topwire.trellis.wire import SERVICE_SHARE, STORM_SHARE


@dataclass(frozen=True)
class LoadCase:
    """One named case: what acts, its factors, and how far it may strain a wire.

    `crop`, `tree`, `wind`, `snow` multiply the loads on the wires; `warmer` [K] counts from the stringing day; `ice` is
    the thickness of glaze on bare wires [m]; `limit` the share of the breaking load that the case may bring a wire to:
    half in service, three quarters in a storm or when a part is lost.
    """

    name: CaseName
    limit: float = SERVICE_SHARE
    crop: float = 0.0
    tree: float = 1.0
    wind: float = 0.0
    snow: float = 0.0
    ice: float = 0.0
    warmer: float = 0.0
    leafed: bool = True
    wet: bool = False
    angle: float = 0.0  # [deg] of the wind from broadside: 90 blows along the row
    lost_post: bool = False
    lost_wire: bool = False
    touch: bool = False
    grown: float = 1.0  # share of the canopy's height that the trees have reached
    hail: float = 0.0  # in the net over the row
    net_snow: float = 0.0  # in a net left up


# Factors of 1: the storm is chosen by its return period and held against ultimate resistances (ASCE 7 form with the
# wind of the design return period); crop is a live load whose greatest value is known. Code combinations: see `loads`.
STILL = LoadCase(CaseName.STILL, crop=1.0)
ACROSS = LoadCase(CaseName.ACROSS, STORM_SHARE, crop=1.0, wind=1.0, wet=True)
ALONG = LoadCase(CaseName.ALONG, STORM_SHARE, crop=1.0, wind=1.0, wet=True, angle=90.0)
ICED = LoadCase(CaseName.ICE, ice=0.006, warmer=-30.0, leafed=False)
ICE_WIND_SHARE = 0.4
HAILED = LoadCase(CaseName.HAIL, STORM_SHARE, crop=1.0, hail=1.0)
NET_CASES = (HAILED, LoadCase(CaseName.NET_SNOW, STORM_SHARE, snow=1.0, net_snow=1.0, wet=True))
CASES = (
    STILL,
    ACROSS,
    ALONG,
    LoadCase(CaseName.HARVESTED, STORM_SHARE, wind=1.0, wet=True),
    LoadCase(CaseName.SNOW, snow=1.0, wet=True),
    ICED,
    LoadCase(CaseName.HOT, warmer=40.0, leafed=False),
    LoadCase(CaseName.LOST_POST, STORM_SHARE, crop=1.0, lost_post=True),
    LoadCase(CaseName.LOST_WIRE, STORM_SHARE, crop=1.0, lost_wire=True),
    LoadCase(CaseName.TOUCH, crop=1.0, touch=True),
    # ice on bare wires and wood, and the wind that follows a freezing rain: 0.4 of the storm's pressure (ASCE7-16, wind
    # on ice, a gust of some 0.6 of the design one, MEMORY)
    LoadCase(CaseName.ICE_WIND, STORM_SHARE, ice=0.006, warmer=-30.0, wind=ICE_WIND_SHARE, leafed=False),
    # third leaf: half a crop low on trees that reach two thirds up, most wires with nothing tied to them
    LoadCase(CaseName.HALF_GROWN, STORM_SHARE, crop=0.35, wind=1.0, wet=True, grown=0.65),
    LoadCase(CaseName.OBLIQUE, STORM_SHARE, crop=1.0, wind=1.0, wet=True, angle=45.0),
)
