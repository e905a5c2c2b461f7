"""The batch book: its file, what goes into it and comes out of it, and the calls of Python.

    place    a look at the first bytes of the file    keeping    an answer as a batch of the book
    schema   the tables, version by version           finishing  what came of it, from the words of a cook
    rows     batches and entries as rows of them      store      the book itself
    derived  lessons and their sums, kept             source     a kept batch where a recipe is expected
    file     the file, and each fault of it           python     the book from Python

Imports nothing, so that whoever has no book pays nothing for it.
"""
