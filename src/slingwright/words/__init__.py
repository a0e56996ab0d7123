"""Codes and figures to sentences, one catalogue a language."""
