"""What is said of a solved batch: the whole answer, findings, order of work, measuring, what to do instead; from jars back to fruit."""
