"""Words for what the departments found, in the reader's units. Nothing here computes; nothing below it speaks."""
