"""Large letters: a dot alphabet of five by seven, drawn with half blocks so that its dots are square."""

from __future__ import annotations

import unicodedata

DOT_ROWS = 7

_DRAWN = """
A .###. #...# #...# ##### #...# #...# #...#
B ####. #...# #...# ####. #...# #...# ####.
C .#### #.... #.... #.... #.... #.... .####
D ####. #...# #...# #...# #...# #...# ####.
E ##### #.... #.... ####. #.... #.... #####
F ##### #.... #.... ####. #.... #.... #....
G .#### #.... #.... #..## #...# #...# .####
H #...# #...# #...# ##### #...# #...# #...#
I ### .#. .#. .#. .#. .#. ###
J ..### ...#. ...#. ...#. ...#. #..#. .##..
K #...# #..#. #.#.. ##... #.#.. #..#. #...#
L #.... #.... #.... #.... #.... #.... #####
M #...# ##.## #.#.# #.#.# #...# #...# #...#
N #...# ##..# ##..# #.#.# #..## #..## #...#
O .###. #...# #...# #...# #...# #...# .###.
P ####. #...# #...# ####. #.... #.... #....
Q .###. #...# #...# #...# #.#.# #..#. .##.#
R ####. #...# #...# ####. #.#.. #..#. #...#
S .#### #.... #.... .###. ....# ....# ####.
T ##### ..#.. ..#.. ..#.. ..#.. ..#.. ..#..
U #...# #...# #...# #...# #...# #...# .###.
V #...# #...# #...# #...# .#.#. .#.#. ..#..
W #...# #...# #...# #.#.# #.#.# ##.## #...#
X #...# #...# .#.#. ..#.. .#.#. #...# #...#
Y #...# #...# .#.#. ..#.. ..#.. ..#.. ..#..
Z ##### ....# ...#. ..#.. .#... #.... #####
0 .###. #...# #..## #.#.# ##..# #...# .###.
1 .#. ##. .#. .#. .#. .#. ###
2 .###. #...# ....# ..##. .#... #.... #####
3 ####. ....# ....# .###. ....# ....# ####.
4 #..#. #..#. #..#. ##### ...#. ...#. ...#.
5 ##### #.... #.... ####. ....# ....# ####.
6 .###. #.... #.... ####. #...# #...# .###.
7 ##### ....# ...#. ...#. ..#.. ..#.. ..#..
8 .###. #...# #...# .###. #...# #...# .###.
9 .###. #...# #...# .#### ....# ....# .###.
_ ..... ..... ..... ..... ..... ..... #####
- ... ... ... ### ... ... ...
. . . . . . . #
? .###. #...# ....# ..##. ..#.. ..... ..#..
@ .###. #...# #.### #.#.# #.### #.... .####
& .##.. #..#. #..#. .##.. #.#.# #..#. .##.#
"""

_DOTS: dict[str, tuple[str, ...]] = {line[0]: tuple(line[2:].split(" ")) for line in _DRAWN.strip().splitlines()} | {
    " ": ("..",) * DOT_ROWS
}


def plain_letters(text: str) -> str | None:
    """Return the text in capitals without accents where every letter can be drawn, else None."""
    bare = "".join(part for part in unicodedata.normalize("NFKD", text) if not unicodedata.combining(part)).upper()
    return bare if bare and all(letter in _DOTS for letter in bare) else None


def letters_width(text: str, scale: int = 1) -> int:
    """Return the cells that a drawable text takes."""
    return scale * (sum(len(_DOTS[letter][0]) for letter in text) + len(text) - 1)


def draw_letters(text: str, scale: int = 1) -> list[str]:
    """Return the rows of a drawable text; `scale` 2 is twice as large."""
    dots = [".".join(_DOTS[letter][row] for letter in text) for row in range(DOT_ROWS)]
    large = ["".join(dot * scale for dot in row) for row in dots for _ in range(scale)]
    if len(large) % 2:
        large.append("." * len(large[0]))
    return [
        "".join(_block(upper, lower) for upper, lower in zip(large[row], large[row + 1], strict=True))
        for row in range(0, len(large), 2)
    ]


def _block(upper: str, lower: str) -> str:
    return {"..": " ", "#.": "▀", ".#": "▄", "##": "█"}[upper + lower]
