"""Drawings (SVG) of any stage."""
