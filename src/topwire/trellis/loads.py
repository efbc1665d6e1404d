"""What hangs on a row: crop, trees, rain, ice, snow."""

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

GRAVITY = 9.80665  # [m/s2]
ICE = 917.0  # [kg/m3]
LEAF_FRESH_MASS = 0.22  # [kg/m2 leaf] 75 g/m2 dry (LEAF-MASS, READ, peach) times about 3 (MEMORY)
RAIN_FILM = 1.5e-4  # [m] water held on a leaf, 0.1-0.2 mm (MEMORY)
WOOD_PER_TREE = 9.5  # [kg] trunk and branches of a mature tall spindle, 7-12 (estimate, weigh one)
LEAF_AREA_INDEX = 2.0  # (MEMORY, 1.5-2.5)
SNOW_ON_LEAVES = 10.0  # [kg/m2 of canopy seen from above] scenario, 5-15, common practice without source
LEAN = 5.0  # [deg] a row leans before anyone straightens it
CANOPY_WIDTH = 1.0  # [m] across the row, narrow wall
TOUCH = 1000.0  # [N] a tractor's touch at 1 m, common practice without source


def weight(mass: npt.ArrayLike) -> Floats:
    """Weight [N] of a mass [kg]; also N/m of kg/m."""
    return np.asarray(GRAVITY * np.asarray(mass, dtype=float))


def tree_mass(tree_spacing: float, row_spacing: float, *, leafed: bool, wet: bool) -> float:
    """Tree without fruit on a metre of row [kg/m]: wood, leaves in leaf, rain film when wet."""
    leaf_area = LEAF_AREA_INDEX * row_spacing  # [m2 per metre of row]
    leaves = leaf_area * LEAF_FRESH_MASS if leafed else 0.0
    film = leaf_area * RAIN_FILM * 1000 if leafed and wet else 0.0
    return WOOD_PER_TREE / tree_spacing + leaves + film


def lean_force(mass: npt.ArrayLike, angle: float = LEAN) -> Floats:
    """Sideways force per metre [N/m] of a row of `mass` [kg/m] that leans by `angle` [deg]."""
    return np.asarray(weight(mass) * np.tan(np.radians(angle)))


def ice_weight(diameter: npt.ArrayLike, thickness: npt.ArrayLike) -> Floats:
    """Glaze of a thickness [m] on a wire [m]: N/m."""
    d, t = np.asarray(diameter, dtype=float), np.asarray(thickness, dtype=float)
    return np.asarray(ICE * GRAVITY * np.pi / 4 * ((d + 2 * t) ** 2 - d**2))


def snow_weight(mass_per_area: float = SNOW_ON_LEAVES, width: float = CANOPY_WIDTH) -> float:
    """Wet snow caught by leaves on a metre of row [N/m]."""
    return GRAVITY * mass_per_area * width
