"""Search, ranking and explanation: the best sling there is."""
