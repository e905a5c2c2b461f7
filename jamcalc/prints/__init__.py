"""Pages that print in real size, as self-contained HTML: cards, labels, the kitchen page, and the type and drawings they share."""
