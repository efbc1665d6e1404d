"""topwire: from a place's weather and a kitchen's needs to a planted apple orchard."""

__version__ = "0.1.0"
