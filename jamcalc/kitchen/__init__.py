"""One kitchen's own: what it has, its file, and a batch fitted to its jars, pots and shelf of supplies."""
