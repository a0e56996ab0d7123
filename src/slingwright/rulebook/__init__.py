"""Standards as cited data: rated loads, hitch factors, angle rules, limits."""
