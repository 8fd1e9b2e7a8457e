"""Big letters: text in blocks, to be read from a metre."""

from __future__ import annotations

ROWS = 5

# Each glyph in five rows of five, written as it looks.
_GLYPHS = """
A .###. #...# ##### #...# #...#
B ####. #...# ####. #...# ####.
C .#### #.... #.... #.... .####
D ####. #...# #...# #...# ####.
E ##### #.... ####. #.... #####
F ##### #.... ####. #.... #....
G .#### #.... #..## #...# .####
H #...# #...# ##### #...# #...#
I ##### ..#.. ..#.. ..#.. #####
J ....# ....# ....# #...# .###.
K #...# #..#. ###.. #..#. #...#
L #.... #.... #.... #.... #####
M #...# ##.## #.#.# #...# #...#
N #...# ##..# #.#.# #..## #...#
O .###. #...# #...# #...# .###.
P ####. #...# ####. #.... #....
Q .###. #...# #.#.# #..#. .##.#
R ####. #...# ####. #..#. #...#
S .#### #.... .###. ....# ####.
T ##### ..#.. ..#.. ..#.. ..#..
U #...# #...# #...# #...# .###.
V #...# #...# #...# .#.#. ..#..
W #...# #...# #.#.# ##.## #...#
X #...# .#.#. ..#.. .#.#. #...#
Y #...# .#.#. ..#.. ..#.. ..#..
Z ##### ...#. ..#.. .#... #####
0 .###. #..## #.#.# ##..# .###.
1 ..#.. .##.. ..#.. ..#.. .###.
2 ####. ....# .###. #.... #####
3 ####. ....# .###. ....# ####.
4 #..#. #..#. ##### ...#. ...#.
5 ##### #.... ####. ....# ####.
6 .###. #.... ####. #...# .###.
7 ##### ....# ...#. ..#.. ..#..
8 .###. #...# .###. #...# .###.
9 .###. #...# .#### ....# .###.
: ... .#. ... .#. ...
+ ..... ..#.. .###. ..#.. .....
- ..... ..... ##### ..... .....
! # # # . #
"""

GLYPHS: dict[str, tuple[str, ...]] = {
    line[0]: tuple(line[2:].split()) for line in _GLYPHS.strip().splitlines()
}
GLYPHS[" "] = ("..",) * ROWS
_UNKNOWN = ("#####",) * ROWS


def big(text: str, *, wide: int = 1, tall: int = 1, width: int | None = None) -> list[str]:
    """Write text in blocks.

    Parameters
    ----------
    text : str
        Letters, digits and ``: + - !``; small letters are written large.
    wide, tall : int
        Characters for each dot across, and lines for each dot down.
    width : int, optional
        Most characters a line may have; letters that do not fit are left out.

    Returns
    -------
    list of str
        ``5 * tall`` lines of equal length.
    """
    rows = [""] * ROWS
    for letter in text.upper():
        glyph = GLYPHS.get(letter, _UNKNOWN)
        longer = [
            row + "".join(("\u2588" if dot == "#" else " ") * wide for dot in part) + " " * wide
            for row, part in zip(rows, glyph, strict=True)
        ]
        if width is not None and len(longer[0]) > width:
            break
        rows = longer
    return [row for row in rows for _ in range(tall)]
