"""Files for other programs and for paper; `write_all` makes them all."""

from topwire.export.files import write_all

__all__ = ["write_all"]
