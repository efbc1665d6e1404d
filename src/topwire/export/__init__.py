"""Files for other programs and for paper."""
