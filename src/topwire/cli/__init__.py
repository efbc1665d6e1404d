"""The command line: says what the engine found, computes nothing."""

from topwire.cli.main import main

__all__ = ["main"]
