"""What may stand on a label or a page: nutrition, claims, the name by law, the words of a card."""
