"""What is learned of kept batches: what each can teach, what that makes of a range, and what a calculation takes of it.

    basis     what tables alone had said of a batch    learning  what observations make of a range: plain numbers
    lessons   what a batch can teach                   sums      what a calculation reads of them
    priors    what is known before the first           taught    what it takes of that

Imports none of what writes the book, for a batch that is worked out waits for it.
"""
