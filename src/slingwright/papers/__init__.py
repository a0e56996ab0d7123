"""Documents (PDF) of any stage."""
