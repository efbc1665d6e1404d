"""Words for departments that could not answer."""

from collections.abc import Mapping

from topwire.tell.words import Facts, Speech, Words

WORDS: Mapping[str, Speech] = {
    "engine.not_asked": Words("not computed, because {concerns} could not be.", "Mend that first."),
    "engine.failed": lambda facts: Words(
        "this department failed in a way it should not ({error}).",
        "The other departments stand. Please report it." + _kept(facts),
    ),
}


def _kept(facts: Facts) -> str:
    return " Details are in {kept}." if facts["kept"] else ""
