"""From the pot to the jars and the canner: volume and headspace, process times, loads and pots, the mix of jars."""
