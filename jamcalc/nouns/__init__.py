"""The nouns, frozen, with units in their names: what is known, said in a line, asked, written as a recipe, answered (outcome), labeled."""
