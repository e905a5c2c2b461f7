"""A kept batch: what was entered of it, what is so now, what that means for its jars and the shelf, and the same for scripts and tables.

    entries   the nouns                           record    for scripts: JSON, and flat rows
    now       what is so, of all entered          exchange  the book as JSON lines, and back
    safety    what it means for the jars          tidy      the same as CSV
    shelf     where they stand, and until when
    season    a year of them in numbers

Pure: opens no book, and the day is an argument.
"""
