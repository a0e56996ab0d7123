"""What programs ask of the desk: the documents of `--json`, over HTTP."""
