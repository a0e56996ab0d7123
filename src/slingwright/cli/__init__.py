"""The command line: parse, use-case, show."""
