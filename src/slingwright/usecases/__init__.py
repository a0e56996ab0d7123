"""What the shop does, one verb a file; the command line and the web share it."""
