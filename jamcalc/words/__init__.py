"""Words for amounts and amounts for words: the strict reader of numbers and units (pint), kitchen measures, phrases."""
