"""The batch book: what was made, what came of it, and what stands on the shelf.

    entries    the nouns                       place     a look at the first bytes of the file
    now        what is so, of all entered      schema    the tables, version by version
    safety     what it means for the jars      file      the file, and each fault of it in one line
    store      the book itself                 sums      what a calculation reads of it
    shelf      the dates                       lessons   what a batch can teach
    derived    lessons and their sums, kept    learning  what observations make of a range: plain numbers
    taught     what a calculation takes of it  basis     what tables alone had said of a batch
    priors     what is known before the first

Imports nothing, so that whoever has no book pays nothing for it.
"""
