"""A long text by the screenful: a page ends before a heading or between two items, never inside a box or a table.

Knows the shapes that screens are made of (blocks that begin at the margin after a blank line, frames, a rule under the heads of a
table) and nothing else.
"""

from __future__ import annotations

FRAMES = "┏┃┗╔║╚█+|#X"  # what the lines of a box begin with, on an ASCII terminal too
RULE = set("- ─")
LEAST_WITH_HEADING = 3  # lines of a block that is begun at the foot of a page: its heading, and no fewer than two more
LEAST_OVERLEAF = 2
NARROWEST = 50  # columns in which a sentence is broken; a line that is shorter has ended of itself


def pages(text: str, height: int, *, last: int | None = None) -> list[str]:
    """The pages of a text.

    Parameters
    ----------
    text : lines, in blocks parted by blank lines
    height : lines of a page; a box or table that is longer is cut there all the same
    last : lines of the last page, where it may be longer or must be shorter; None: as the others
    """
    lines = [line.rstrip() for line in text.strip("\n").splitlines()]
    last = height if last is None else last
    out = []
    while len(lines) > last:
        end = _end(lines, height)
        out.append("\n".join(lines[:end]).rstrip("\n"))
        lines = lines[end:]
        while lines and not lines[0]:
            lines = lines[1:]
    return [*out, "\n".join(lines)] if lines or not out else out


def _end(lines: list[str], height: int) -> int:
    """How many lines go on the page: up to the last place where it may end, at most all that there is room for."""
    fits = [place for place in range(2, min(height, len(lines) - 1) + 1) if _may_part(lines, place)]
    return max(fits, default=min(height, len(lines)))


def _may_part(lines: list[str], place: int) -> bool:
    """Whether a page may end before the line at this place."""
    first, after = _block(lines, place)
    if place == first:
        return True
    here = [line for line in lines[first:after] if line]
    if not lines[place] or any(set(line) <= RULE for line in here) or _in_box(lines, place):
        return False
    if (place - first < LEAST_WITH_HEADING and first > 0) or len([line for line in lines[place:after] if line]) < LEAST_OVERLEAF:
        return False
    return not _continues(lines[place], here) and not _wraps(lines, place)


def _block(lines: list[str], place: int) -> tuple[int, int]:
    """Where the block of a line begins, and the place after its end: the next one begins at the margin after a blank line."""
    begins = [index for index in range(1, len(lines)) if lines[index] and not lines[index - 1] and not _indent(lines[index])]
    return max((index for index in begins if index <= place), default=0), min((i for i in begins if i > place), default=len(lines))


def _in_box(lines: list[str], place: int) -> bool:
    """Whether the line goes on with the box of the line before it."""
    return lines[place - 1].lstrip()[:1] in FRAMES and lines[place].lstrip()[:1] in FRAMES


def _continues(line: str, block: list[str]) -> bool:
    """Whether the line goes on with the item above it: it stands further in than the marks of its block do."""
    return _indent(line) > min(map(_indent, block[1:] or block)) + 1  # "1." stands one further in than "10."


def _wraps(lines: list[str], place: int) -> bool:
    """Whether the line goes on with the one before it, which had no room for its first word."""
    before, line = lines[place - 1], lines[place]
    first = (line.split() or [""])[0]
    width = max(NARROWEST, *map(len, lines))
    return bool(before and line) and _indent(before) == _indent(line) and len(f"{before} {first}") > width


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip())
