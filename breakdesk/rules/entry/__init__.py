"""The entry line: one line, any order, few keys, read against a break's cards, spots and people."""
