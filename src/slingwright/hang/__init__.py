"""Statics: numbers only. Takes points, lengths, stiffnesses and weights, so an outside engine can judge it."""
