"""`python -m topwire` is the command line."""

from topwire.cli import main

main()
