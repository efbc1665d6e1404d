"""On which continent a place lies, as roughly as a list of nurseries needs it."""

# South, north, west and east edges [deg north, deg east].
_EUROPE = ((36.0, 72.0, -25.0, 45.0), (34.5, 36.0, 20.0, 35.0))  # the second: Crete and Cyprus
_AFRICA = (36.0, 37.6, -1.0, 11.5)  # the shore from Oran to Tunis


def in_europe(latitude: float, longitude: float) -> bool:
    """Whether a place [deg north, deg east] lies in Europe."""

    def inside(edges: tuple[float, float, float, float]) -> bool:
        south, north, west, east = edges
        return south <= latitude <= north and west <= longitude <= east

    return any(inside(edges) for edges in _EUROPE) and not inside(_AFRICA)
