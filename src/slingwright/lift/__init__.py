"""The lift: load, hook, site, wishes; what is unknown stays a range."""
