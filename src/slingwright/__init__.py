"""Slingwright: from the lift to the synthetic web sling, proved, drawn and on paper."""

__version__ = "0.1.0"
