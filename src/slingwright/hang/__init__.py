"""Statics: numbers only. Takes points, lengths, stiffnesses, weights, so an outside engine can judge it."""
