"""A recipe as written: what is ours and tested, checked, scaled, and written out as a file."""
