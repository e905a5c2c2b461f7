"""A recipe as people have it, in plain text, to a Recipe: a title, an ingredient a row, steps and what else is printed with them."""
