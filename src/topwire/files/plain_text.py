"""Text that a page, a drawing and a calendar can hold: no control characters, no halves of characters."""

import unicodedata

# Marks that turn the direction of what follows them, and so show a name as another one.
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def unprintable(text: str) -> str:
    """What a text holds that no page can print, in words; empty where it holds nothing of the kind."""
    for sign in text:
        code = ord(sign)
        if sign in "\n\r\t":
            return "a line break or a tab"
        if unicodedata.category(sign) == "Cs":
            return f"half a character (U+{code:04X})"
        if unicodedata.category(sign) == "Cc" or sign in _TURNING or code in (0xFFFE, 0xFFFF):
            return f"a control character (U+{code:04X})"
    return ""
